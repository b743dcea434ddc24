#include "textflag.h"

// Rows are done in lots from the front. The last lot ends with the row, so that it may overlap the
// one before; what is done twice comes out the same. AX is where a lot begins, CX the length.

// NEXT goes on to the next lot of so many numbers.
#define NEXT(lot, many) \
	ADDQ    $many, AX; \
	CMPQ    AX, CX; \
	JGE     done; \
	LEAQ    -many(CX), BX; \
	CMPQ    AX, BX; \
	CMOVQGT BX, AX; \
	JMP     lot

// SPREAD fills y, of which x is the lower half, with the number in BX.
#define SPREAD(x, y) \
	VMOVD        BX, x; \
	VPBROADCASTD x, y

// func greatestAVX2(to *int32, n int, least, a, b *int32, sums *sum, count int)
TEXT ·greatestAVX2(SB), NOSPLIT, $0-56
	MOVQ to+0(FP), DI
	MOVQ n+8(FP), CX
	MOVQ least+16(FP), R9
	MOVQ a+24(FP), SI
	MOVQ b+32(FP), DX
	MOVQ sums+40(FP), R8
	XORQ AX, AX
	CMPQ CX, $16
	JLT  eight

sixteen:
	VMOVDQU (R9)(AX*4), Y0
	VMOVDQU 32(R9)(AX*4), Y1
	LEAQ    (SI)(AX*4), R12
	LEAQ    (DX)(AX*4), R13
	MOVQ    R8, R10
	MOVQ    count+48(FP), R11

sum16:
	MOVL    (R10), BX
	VMOVDQU (R12)(BX*4), Y2
	VMOVDQU 32(R12)(BX*4), Y3
	MOVL    4(R10), BX
	VPADDD  (R13)(BX*4), Y2, Y2
	VPADDD  32(R13)(BX*4), Y3, Y3
	VPMAXSD Y2, Y0, Y0
	VPMAXSD Y3, Y1, Y1
	ADDQ    $8, R10
	DECQ    R11
	JNZ     sum16
	VMOVDQU Y0, (DI)(AX*4)
	VMOVDQU Y1, 32(DI)(AX*4)
	NEXT(sixteen, 16)

eight:
	VMOVDQU (R9)(AX*4), Y0
	LEAQ    (SI)(AX*4), R12
	LEAQ    (DX)(AX*4), R13
	MOVQ    R8, R10
	MOVQ    count+48(FP), R11

sum8:
	MOVL    (R10), BX
	VMOVDQU (R12)(BX*4), Y2
	MOVL    4(R10), BX
	VPADDD  (R13)(BX*4), Y2, Y2
	VPMAXSD Y2, Y0, Y0
	ADDQ    $8, R10
	DECQ    R11
	JNZ     sum8
	VMOVDQU Y0, (DI)(AX*4)
	NEXT(eight, 8)

done:
	VZEROUPPER
	RET

// func liftAVX2(to *int32, n int, a, b *int32)
TEXT ·liftAVX2(SB), NOSPLIT, $0-32
	MOVQ to+0(FP), DI
	MOVQ n+8(FP), CX
	MOVQ a+16(FP), SI
	MOVQ b+24(FP), DX
	XORQ AX, AX

lot:
	VMOVDQU (SI)(AX*4), Y0
	VPMAXSD (DX)(AX*4), Y0, Y0
	VMOVDQU Y0, (DI)(AX*4)
	NEXT(lot, 8)

done:
	VZEROUPPER
	RET

// func chainAVX2(best *int32, n int, from *int16, a, b *int32, base int32, at int16)
TEXT ·chainAVX2(SB), NOSPLIT, $0-46
	MOVQ         best+0(FP), DI
	MOVQ         n+8(FP), CX
	MOVQ         from+16(FP), R8
	MOVQ         a+24(FP), SI
	MOVQ         b+32(FP), DX
	MOVL         base+40(FP), BX
	SPREAD(X8, Y8)
	MOVWLZX      at+44(FP), BX
	VMOVD        BX, X9
	VPBROADCASTW X9, Y9
	XORQ         AX, AX

lot:
	VMOVDQU   (SI)(AX*4), Y0
	VMOVDQU   32(SI)(AX*4), Y1
	VPMAXSD   (DX)(AX*4), Y0, Y0
	VPMAXSD   32(DX)(AX*4), Y1, Y1
	VPADDD    Y8, Y0, Y0
	VPADDD    Y8, Y1, Y1
	VMOVDQU   (DI)(AX*4), Y2
	VMOVDQU   32(DI)(AX*4), Y3
	VPCMPGTD  Y2, Y0, Y4
	VPCMPGTD  Y3, Y1, Y5
	VPACKSSDW Y5, Y4, Y6           // by halves: four of the first, four of the second
	VPTEST    Y6, Y6
	JZ        next
	VPMAXSD   Y2, Y0, Y0
	VPMAXSD   Y3, Y1, Y1
	VMOVDQU   Y0, (DI)(AX*4)
	VMOVDQU   Y1, 32(DI)(AX*4)
	VPERMQ    $0xD8, Y6, Y6        // in order again
	VMOVDQU   (R8)(AX*2), Y7
	VPBLENDVB Y6, Y9, Y7, Y7
	VMOVDQU   Y7, (R8)(AX*2)

next:
	NEXT(lot, 16)

done:
	VZEROUPPER
	RET

// func repeatAVX2(best, last *int32, n, length int, value, it int32)
TEXT ·repeatAVX2(SB), NOSPLIT, $0-40
	MOVQ         best+0(FP), DI
	MOVQ         last+8(FP), SI
	MOVQ         n+16(FP), CX
	MOVQ         length+24(FP), DX
	MOVL         value+32(FP), BX
	SPREAD(X8, Y8)
	MOVL         it+36(FP), BX
	SPREAD(X9, Y9)
	SUBQ         DX, CX
	SUBQ         $8, CX              // the last place to read from
	JLT          done
	LEAQ         (DI)(DX*4), R8
	LEAQ         (SI)(DX*4), SI
	XORQ         AX, AX

lot:
	VPADDD    (DI)(AX*4), Y8, Y0
	VMOVDQU   (R8)(AX*4), Y1
	VPCMPGTD  Y1, Y0, Y2
	VPMAXSD   Y0, Y1, Y1
	VMOVDQU   Y1, (R8)(AX*4)
	VMOVDQU   (SI)(AX*4), Y3
	VPBLENDVB Y2, Y9, Y3, Y3
	VMOVDQU   Y3, (SI)(AX*4)
	ADDQ      $8, AX
	CMPQ      AX, CX
	JLE       lot

done:
	VZEROUPPER
	RET

// func takeAVX2(best *int32, taken *uint64, lo, hi, length int, value int32)
TEXT ·takeAVX2(SB), NOSPLIT, $0-44
	MOVQ         best+0(FP), DI
	MOVQ         taken+8(FP), SI
	MOVQ         lo+16(FP), CX
	MOVQ         hi+24(FP), AX
	MOVQ         length+32(FP), DX
	MOVL         value+40(FP), BX
	SPREAD(X8, Y8)
	NEGQ         DX
	LEAQ         (DI)(DX*4), R8

lot:
	SUBQ      $8, AX
	VPADDD    (R8)(AX*4), Y8, Y0
	VMOVDQU   (DI)(AX*4), Y1
	VPCMPGTD  Y1, Y0, Y2
	VPMAXSD   Y0, Y1, Y1
	VMOVDQU   Y1, (DI)(AX*4)
	VMOVMSKPS Y2, BX
	MOVQ      AX, R9
	SHRQ      $3, R9
	MOVB      BX, (SI)(R9*1)
	CMPQ      AX, CX
	JGT       lot
	VZEROUPPER
	RET
