package parts

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"os"
	"runtime"
)

// Machine is what decides on the last digits of a result. Processors of one
// architecture differ too: some functions of the standard library choose their
// instructions when the program starts.
type Machine struct {
	OS         string `json:"os"`
	Arch       string `json:"arch"`
	Arithmetic string `json:"arithmetic"` // sum of what functions gave at fixed points
}

// ThisMachine is the one that the program runs on.
func ThisMachine() Machine { return Machine{runtime.GOOS, runtime.GOARCH, arithmetic()} }

// arithmetic tries the functions that results hang on, over the sizes that they meet.
// A function that rounds otherwise on another machine does so at a good part of
// its points, so that a thousand tell.
func arithmetic() string {
	var b []byte
	for i := range 1024 {
		x := float64(i+1) / 64
		for _, y := range []float64{math.Exp(-x), math.Exp(x / 8), math.Expm1(-x / 16), math.Log(x), math.Log1p(x), math.Pow(x, 0.37),
			math.Sqrt(x), math.Sin(x), math.Cos(x), math.Tanh(x), math.Erf(x / 8), x*x/3 + x} {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(y))
		}
	}
	return sum(b)
}

func (m Machine) String() string {
	return fmt.Sprintf("%s/%s, arithmetic %.8s…", m.OS, m.Arch, m.Arithmetic)
}

// CPU is what the machine calls its processor, where it says so.
func CPU() string {
	text, err := os.ReadFile("/proc/cpuinfo")
	if err != nil {
		return ""
	}
	for line := range bytes.Lines(text) {
		if name, value, ok := bytes.Cut(line, []byte(":")); ok && string(bytes.TrimSpace(name)) == "model name" {
			return string(bytes.TrimSpace(value))
		}
	}
	return ""
}
