#include "textflag.h"

// func vectorDot(x, row *float64, n int) float64
TEXT ·vectorDot(SB), NOSPLIT, $0-32
	MOVQ   x+0(FP), SI
	MOVQ   row+8(FP), DI
	MOVQ   n+16(FP), CX
	VXORPD Y0, Y0, Y0
	VXORPD Y1, Y1, Y1
	VXORPD Y2, Y2, Y2
	VXORPD Y3, Y3, Y3

	// 16 products at a time in four sums, which hides the latency of adding.
sixteen:
	CMPQ        CX, $16
	JLT         eight
	VMOVUPD     (SI), Y4
	VMOVUPD     32(SI), Y5
	VMOVUPD     64(SI), Y6
	VMOVUPD     96(SI), Y7
	VFMADD231PD (DI), Y4, Y0
	VFMADD231PD 32(DI), Y5, Y1
	VFMADD231PD 64(DI), Y6, Y2
	VFMADD231PD 96(DI), Y7, Y3
	ADDQ        $128, SI
	ADDQ        $128, DI
	SUBQ        $16, CX
	JMP         sixteen

eight:
	TESTQ       CX, CX
	JZ          sum
	VMOVUPD     (SI), Y4
	VMOVUPD     32(SI), Y5
	VFMADD231PD (DI), Y4, Y0
	VFMADD231PD 32(DI), Y5, Y1

sum:
	VADDPD       Y1, Y0, Y0
	VADDPD       Y3, Y2, Y2
	VADDPD       Y2, Y0, Y0
	VEXTRACTF128 $1, Y0, X1
	VADDPD       X1, X0, X0
	VHADDPD      X0, X0, X0
	VZEROUPPER
	MOVSD        X0, ret+24(FP)
	RET

// func vectorFilter(out, x, row *float64, n, taps int)
TEXT ·vectorFilter(SB), NOSPLIT, $0-40
	MOVQ out+0(FP), R8
	MOVQ x+8(FP), SI
	MOVQ n+24(FP), CX

	// 16 results at a time, each tap taken for all of them.
results:
	TESTQ  CX, CX
	JZ     done
	MOVQ   row+16(FP), DI
	MOVQ   taps+32(FP), DX
	MOVQ   SI, R9
	VXORPD Y0, Y0, Y0
	VXORPD Y1, Y1, Y1
	VXORPD Y2, Y2, Y2
	VXORPD Y3, Y3, Y3

tap:
	VBROADCASTSD (DI), Y4
	VFMADD231PD  (R9), Y4, Y0
	VFMADD231PD  32(R9), Y4, Y1
	VFMADD231PD  64(R9), Y4, Y2
	VFMADD231PD  96(R9), Y4, Y3
	ADDQ         $8, DI
	ADDQ         $8, R9
	DECQ         DX
	JNZ          tap
	VMOVUPD      Y0, (R8)
	VMOVUPD      Y1, 32(R8)
	VMOVUPD      Y2, 64(R8)
	VMOVUPD      Y3, 96(R8)
	ADDQ         $128, R8
	ADDQ         $128, SI
	SUBQ         $16, CX
	JMP          results

done:
	VZEROUPPER
	RET

// func vectorPower(k *kPair, a, b *float64, n int) (sumA, sumB float64)
TEXT ·vectorPower(SB), NOSPLIT, $0-48
	MOVQ    k+0(FP), R8
	MOVQ    a+8(FP), SI
	MOVQ    b+16(FP), DI
	MOVQ    n+24(FP), CX
	VMOVUPD 0(R8), X10   // shelf b0
	VMOVUPD 16(R8), X11  // b1
	VMOVUPD 32(R8), X12  // b2
	VMOVUPD 48(R8), X13  // a1
	VMOVUPD 64(R8), X14  // a2
	VMOVUPD 80(R8), X15  // high pass a1; a2 stays at 96(R8)
	VMOVUPD 112(R8), X1  // x1
	VMOVUPD 128(R8), X2  // x2
	VMOVUPD 144(R8), X3  // u1
	VMOVUPD 160(R8), X4  // u2
	VMOVUPD 176(R8), X5  // y1
	VMOVUPD 192(R8), X6  // y2
	VXORPD  X0, X0, X0

sample:
	VMOVSD        (SI), X7
	VMOVHPD       (DI), X7, X7
	VMULPD        X10, X7, X8
	VFMADD231PD   X11, X1, X8
	VFMADD231PD   X12, X2, X8
	VFNMADD231PD  X14, X4, X8
	VFNMADD231PD  X13, X3, X8
	VADDPD        X4, X8, X9
	VSUBPD        X3, X9, X9
	VSUBPD        X3, X9, X9
	VFNMADD231PD  96(R8), X6, X9
	VFNMADD231PD  X15, X5, X9
	VFMADD231PD   X9, X9, X0
	VMOVAPD       X1, X2
	VMOVAPD       X7, X1
	VMOVAPD       X3, X4
	VMOVAPD       X8, X3
	VMOVAPD       X5, X6
	VMOVAPD       X9, X5
	ADDQ          $8, SI
	ADDQ          $8, DI
	DECQ          CX
	JNZ           sample

	VMOVUPD X1, 112(R8)
	VMOVUPD X2, 128(R8)
	VMOVUPD X3, 144(R8)
	VMOVUPD X4, 160(R8)
	VMOVUPD X5, 176(R8)
	VMOVUPD X6, 192(R8)
	VMOVSD  X0, sumA+32(FP)
	VMOVHPD X0, sumB+40(FP)
	RET
