package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// layers are the folders at the top, each of which may import from itself and
// from those before it.
var layers = []string{"hide", "nest", "report", "cmd"}

// goFile is a source file of the module, by its path from the root.
type goFile struct {
	path string
	tree *ast.File
}

func (f goFile) test() bool { return strings.HasSuffix(f.path, "_test.go") }

// imports are the packages of this module that the file uses, without the
// module's name: "hide/plane".
func (f goFile) imports() []string {
	var out []string
	for _, spec := range f.tree.Imports {
		path, _ := strconv.Unquote(spec.Path.Value)
		if local, ok := strings.CutPrefix(path, "strapwise/"); ok {
			out = append(out, local)
		}
	}
	return out
}

func sources(t *testing.T) []goFile {
	t.Helper()
	root := filepath.Join("..", "..")
	var files []goFile
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".git") || d.Name() == "testdata") {
			return filepath.SkipDir
		}
		if d.IsDir() || filepath.Ext(path) != ".go" {
			return nil
		}
		tree, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		files = append(files, goFile{filepath.ToSlash(rel), tree})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 20 {
		t.Fatalf("found %d files, expected a house full", len(files))
	}
	return files
}

// Data flows one way, and so do imports: hide, nest, report, cmd.
func TestImportsFlowOneWay(t *testing.T) {
	for _, f := range sources(t) {
		top, _, _ := strings.Cut(f.path, "/")
		here := slices.Index(layers, top)
		if here < 0 {
			t.Errorf("%s lies in none of %v", f.path, layers)
		}
		for _, path := range f.imports() {
			top, _, _ := strings.Cut(path, "/")
			if there := slices.Index(layers, top); there < 0 || there > here {
				t.Errorf("%s imports %s, which lies above it", f.path, path)
			}
		}
	}
}

// A plan is checked by another way than the one that made it, so the package
// that checks knows none of those that plan.
func TestCheckKnowsNoPlanner(t *testing.T) {
	checks := 0
	for _, f := range sources(t) {
		if filepath.Dir(f.path) != "nest" {
			continue
		}
		if strings.HasPrefix(filepath.Base(f.path), "check") {
			checks++
		}
		for _, path := range f.imports() {
			if path == "nest" || strings.HasPrefix(path, "nest/") {
				t.Errorf("%s imports %s, a planner or what one uses", f.path, path)
			}
		}
		if f.test() {
			continue
		}
		// Nor does it ask a hide for leather as planners see it.
		ast.Inspect(f.tree, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok && slices.Contains([]string{"Serving", "Whole", "Runs", "RefusesZone"}, s.Sel.Name) {
				t.Errorf("%s uses %s, which planners look through", f.path, s.Sel.Name)
			}
			return true
		})
	}
	if checks == 0 {
		t.Error("found no nest/check*.go")
	}
}

// Only cmd prints and exits.
func TestOnlyCommandsPrint(t *testing.T) {
	prints := map[string][]string{
		"fmt": {"Print", "Printf", "Println"},
		"log": {"Print", "Printf", "Println", "Fatal", "Fatalf", "Fatalln", "Panic", "Panicf", "Panicln"},
		"os":  {"Exit", "Stdout", "Stderr"},
	}
	for _, f := range sources(t) {
		if f.test() || strings.HasPrefix(f.path, "cmd/") {
			continue
		}
		ast.Inspect(f.tree, func(n ast.Node) bool {
			if s, ok := n.(*ast.SelectorExpr); ok {
				if pkg, ok := s.X.(*ast.Ident); ok && slices.Contains(prints[pkg.Name], s.Sel.Name) {
					t.Errorf("%s uses %s.%s, which only commands may", f.path, pkg.Name, s.Sel.Name)
				}
			}
			return true
		})
	}
}
