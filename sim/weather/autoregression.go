package weather

import "math"

// matrix is a small square matrix by rows.
type matrix [3][3]float64

// richardson holds the lag-0 and lag-1 correlations of the residuals of Tmax,
// Tmin and radiation that Richardson (1982) found common to 31 stations in the
// United States. From memory; they give back the matrices A and B printed in
// the literature, which the tests check. Row: today; column: yesterday.
func richardson() (m0, m1 matrix) {
	m0 = matrix{{1, 0.633, 0.186}, {0.633, 1, -0.193}, {0.186, -0.193, 1}}
	m1 = matrix{{0.621, 0.445, 0.087}, {0.563, 0.674, -0.100}, {0.015, -0.091, 0.251}}
	return m0, m1
}

// temperatureOnly keeps Tmax and Tmin and lets the third series be white noise.
func temperatureOnly(m0, m1 matrix) (matrix, matrix) {
	for i := range 2 {
		m0[i][2], m0[2][i], m1[i][2], m1[2][i] = 0, 0, 0, 0
	}
	m0[2][2], m1[2][2] = 1, 0
	return m0, m1
}

// autoregression solves for x(t) = A x(t−1) + B e(t) with unit normals e:
// A = M1 M0⁻¹, B Bᵀ = M0 − M1 M0⁻¹ M1ᵀ, B lower triangular (Richardson 1981,
// Water Resour. Res. 17:182; Matalas 1967, Water Resour. Res. 3:937).
func autoregression(m0, m1 matrix) (a, b matrix) {
	a = m1.times(m0.inverse())
	am := a.times(m1.transposed())
	s := m0
	for i := range s {
		for j := range s {
			s[i][j] -= am[i][j]
		}
	}
	return a, s.cholesky()
}

func (m matrix) times(n matrix) (p matrix) {
	for i := range p {
		for j := range p {
			for k := range p {
				p[i][j] += m[i][k] * n[k][j]
			}
		}
	}
	return p
}

func (m matrix) transposed() (t matrix) {
	for i := range m {
		for j := range m {
			t[i][j] = m[j][i]
		}
	}
	return t
}

// inverse is the adjugate over the determinant.
func (m matrix) inverse() (inv matrix) {
	det := 0.0
	for i := range m {
		for j := range m {
			r1, r2, c1, c2 := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
			inv[j][i] = m[r1][c1]*m[r2][c2] - m[r1][c2]*m[r2][c1]
		}
		det += m[i][0] * inv[0][i] // down the first column
	}
	for i := range inv {
		for j := range inv {
			inv[i][j] /= det
		}
	}
	return inv
}

func (m matrix) cholesky() (l matrix) {
	for i := range m {
		for j := range i + 1 {
			s := m[i][j]
			for k := range j {
				s -= l[i][k] * l[j][k]
			}
			if i == j {
				l[i][i] = math.Sqrt(max(0, s))
			} else {
				l[i][j] = s / l[j][j]
			}
		}
	}
	return l
}

// meanVariance is the variance of the mean of n days of residual i.
func meanVariance(a, m0 matrix, i int, n float64) float64 {
	sum, lagged := n*m0[i][i], m0
	for k := 1.0; k < n; k++ {
		lagged = a.times(lagged)
		sum += 2 * (n - k) * lagged[i][i]
	}
	return sum / (n * n)
}
