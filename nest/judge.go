package nest

// Judge looks at the pieces that are cut, now that more may be known of the hides
// than when they were cut, and returns those that lie on what their use refuses:
// a flaw, a zone, leather of another thickness. Those that a person holds to be
// sound are marked as judged and stay; the others are spoilt. A piece that was
// judged before is not looked at again.
func (b *Begun) Judge(j Job, sound func(Piece) bool) []Piece {
	grounds := map[string]*laid{}
	var met []Piece
	judge := func(list []Piece) []Piece {
		var kept []Piece
		for _, p := range list {
			if p.Cut && !p.Judged && j.refuses(grounds, p) {
				p.Judged = sound(p)
				met = append(met, p)
				if !p.Judged {
					b.Plan.Spoilt = append(b.Plan.Spoilt, p)
					continue
				}
			}
			kept = append(kept, p)
		}
		return kept
	}
	b.Plan.Pieces, b.Plan.Spare = judge(b.Plan.Pieces), judge(b.Plan.Spare)
	return met
}

// refuses reports whether the leather under a piece is not what its use asks for.
func (j Job) refuses(grounds map[string]*laid, p Piece) bool {
	h := j.Hide(p.Hide)
	use, known := j.Uses[p.Use]
	if h == nil || !known {
		return false
	}
	r, err := (&cutPiece{Piece: &p}).shapeOf(alongBackbone(h))
	if err != nil {
		return false
	}
	l := grounds[p.Hide]
	if l == nil {
		l = &laid{hide: h, leather: newGround(h), backbone: alongBackbone(h)}
		grounds[p.Hide] = l
	}
	p.Judged = false
	piece := &cutPiece{Piece: &p, use: &use, shape: r, drawn: true}
	if r.outline == nil {
		piece.length = piece.statedLength(l.backbone)
	}
	c := &checker{job: j, count: map[string]int{}}
	c.onGround(l, piece)
	return c.count[RuleFlaw]+c.count[RuleZone]+c.count[RuleSubstance] > 0
}
