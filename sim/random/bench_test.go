package random_test

import (
	"fmt"
	"testing"

	"rundown/sim/random"
)

// The benchmarks give every call its own uniform, made outside the timed part
// by the addressed uniform itself: branches are taken as in real use.
func uniforms() []float64 {
	key := random.Root(1, random.Chance, 0)
	u := make([]float64, 1<<16) // too many for a branch predictor to learn
	for i := range u {
		u[i] = key.Uniform(uint64(i))
	}
	return u
}

var (
	sinkFloat float64
	sinkInt   int64
)

func BenchmarkUniform(b *testing.B) {
	key := random.Root(1, random.Chance, 0)
	sum := 0.0
	for i := uint64(0); b.Loop(); i++ {
		sum += key.Uniform(i)
	}
	sinkFloat = sum
}

func BenchmarkWith(b *testing.B) {
	key := random.Root(1, random.Chance, 0)
	for i := uint64(0); b.Loop(); i++ {
		key = key.With(i)
	}
	sinkFloat = key.Uniform(0)
}

func BenchmarkAt(b *testing.B) {
	key := random.Root(1, random.Chance, 0)
	sum := 0.0
	for i := int32(0); b.Loop(); i++ {
		sum += key.Uniform(random.At(20000+i&0xfff, 3, 1, 2, 1, 0, 0))
	}
	sinkFloat = sum
}

func BenchmarkNormal(b *testing.B) {
	u := uniforms()
	sum := 0.0
	for i := 0; b.Loop(); i++ {
		sum += random.Normal(u[i&(len(u)-1)])
	}
	sinkFloat = sum
}

func BenchmarkBinomialSmall(b *testing.B) {
	for _, mean := range []float64{0.1, 1, 5, 20} {
		b.Run(fmt.Sprint("mean=", mean), func(b *testing.B) { benchmarkBinomial(b, 1000, mean/1000) })
	}
	b.Run("n=1e6,mean=20", func(b *testing.B) { benchmarkBinomial(b, 1e6, 20e-6) })
	b.Run("n=40,p=0.5", func(b *testing.B) { benchmarkBinomial(b, 40, 0.5) })
	b.Run("n=40,p=0.9", func(b *testing.B) { benchmarkBinomial(b, 40, 0.9) })
}

func BenchmarkBinomialLarge(b *testing.B) {
	for _, mean := range []float64{21, 1000, 1e8} {
		b.Run(fmt.Sprint("mean=", mean), func(b *testing.B) { benchmarkBinomial(b, int64(10*mean), 0.1) })
	}
}

// BenchmarkBinomialMixed changes trials and chance with every draw.
func BenchmarkBinomialMixed(b *testing.B) {
	u := uniforms()
	sum := int64(0)
	for i := 0; b.Loop(); i++ {
		j := i & (len(u) - 1)
		sum += random.Binomial(u[j], int64(4000*u[(j+1)&(len(u)-1)]), 0.01)
	}
	sinkInt = sum
}

func benchmarkBinomial(b *testing.B, n int64, p float64) {
	u := uniforms()
	sum := int64(0)
	for i := 0; b.Loop(); i++ {
		sum += random.Binomial(u[i&(len(u)-1)], n, p)
	}
	sinkInt = sum
}

func BenchmarkPoisson(b *testing.B) {
	u := uniforms()
	for _, mean := range []float64{0.1, 5, 20, 21, 1e6} {
		b.Run(fmt.Sprint("mean=", mean), func(b *testing.B) {
			sum := int64(0)
			for i := 0; b.Loop(); i++ {
				sum += random.Poisson(u[i&(len(u)-1)], mean)
			}
			sinkInt = sum
		})
	}
}

func BenchmarkNegativeBinomial(b *testing.B) {
	u := uniforms()
	for _, c := range []struct{ mean, size float64 }{{5, 2}, {20, 100}, {1e3, 1e3}, {1e3, 2}, {1e6, 10}} {
		b.Run(fmt.Sprintf("mean=%v,size=%v", c.mean, c.size), func(b *testing.B) {
			sum := int64(0)
			for i := 0; b.Loop(); i++ {
				sum += random.NegativeBinomial(u[i&(len(u)-1)], c.mean, c.size)
			}
			sinkInt = sum
		})
	}
}
