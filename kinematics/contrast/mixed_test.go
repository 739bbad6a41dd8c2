package contrast

import (
	"errors"
	"math/rand/v2"
	"testing"
)

// Distance from pituitary to pterygomaxillary fissure, mm, of 11 girls and 16
// boys at ages 8, 10, 12 and 14 (Potthoff & Roy, Biometrika 51:313-326, 1964;
// the data set Orthodont of R's nlme).
var orthodont = [][]float64{
	{21, 20, 21.5, 23}, {21, 21.5, 24, 25.5}, {20.5, 24, 24.5, 26}, {23.5, 24.5, 25, 26.5},
	{21.5, 23, 22.5, 23.5}, {20, 21, 21, 22.5}, {21.5, 22.5, 23, 25}, {23, 23, 23.5, 24},
	{20, 21, 22, 21.5}, {16.5, 19, 19, 19.5}, {24.5, 25, 28, 28},
	{26, 25, 29, 31}, {21.5, 22.5, 23, 26.5}, {23, 22.5, 24, 27.5}, {25.5, 27.5, 26.5, 27},
	{20, 23.5, 22.5, 26}, {24.5, 25.5, 27, 28.5}, {22, 22, 24.5, 26.5}, {24, 21.5, 24.5, 25.5},
	{23, 20.5, 31, 26}, {27.5, 28, 31, 31.5}, {23, 23, 23.5, 25}, {21.5, 23.5, 24, 28},
	{17, 24.5, 26, 29.5}, {22.5, 25.5, 25.5, 26}, {23, 24.5, 26, 30}, {22, 21.5, 23.5, 25},
}

const girls = 11

// Reaction time, ms, of 18 subjects on days 0 to 9 (Belenky and others, Journal
// of Sleep Research 12:1-12, 2003; the data set sleepstudy of R's lme4).
var sleepstudy = [][]float64{
	{249.56, 258.7047, 250.8006, 321.4398, 356.8519, 414.6901, 382.2038, 290.1486, 430.5853, 466.3535},
	{222.7339, 205.2658, 202.9778, 204.707, 207.7161, 215.9618, 213.6303, 217.7272, 224.2957, 237.3142},
	{199.0539, 194.3322, 234.32, 232.8416, 229.3074, 220.4579, 235.4208, 255.7511, 261.0125, 247.5153},
	{321.5426, 300.4002, 283.8565, 285.133, 285.7973, 297.5855, 280.2396, 318.2613, 305.3495, 354.0487},
	{287.6079, 285, 301.8206, 320.1153, 316.2773, 293.3187, 290.075, 334.8177, 293.7469, 371.5811},
	{234.8606, 242.8118, 272.9613, 309.7688, 317.4629, 309.9976, 454.1619, 346.8311, 330.3003, 253.8644},
	{283.8424, 289.555, 276.7693, 299.8097, 297.171, 338.1665, 332.0265, 348.8399, 333.36, 362.0428},
	{265.4731, 276.2012, 243.3647, 254.6723, 279.0244, 284.1912, 305.5248, 331.5229, 335.7469, 377.299},
	{241.6083, 273.9472, 254.4907, 270.8021, 251.4519, 254.6362, 245.4523, 235.311, 235.7541, 237.2466},
	{312.3666, 313.8058, 291.6112, 346.1222, 365.7324, 391.8385, 404.2601, 416.6923, 455.8643, 458.9167},
	{236.1032, 230.3167, 238.9256, 254.922, 250.7103, 269.7744, 281.5648, 308.102, 336.2806, 351.6451},
	{256.2968, 243.4543, 256.2046, 255.5271, 268.9165, 329.7247, 379.4445, 362.9184, 394.4872, 389.0527},
	{250.5265, 300.0576, 269.8939, 280.5891, 271.8274, 304.6336, 287.7466, 266.5955, 321.5418, 347.5655},
	{221.6771, 298.1939, 326.8785, 346.8555, 348.7402, 352.8287, 354.4266, 360.4326, 375.6406, 388.5417},
	{271.9235, 268.4369, 257.2424, 277.6566, 314.8222, 317.2135, 298.1353, 348.1229, 340.28, 366.5131},
	{225.264, 234.5235, 238.9008, 240.473, 267.5373, 344.1937, 281.1481, 347.5855, 365.163, 372.2288},
	{269.8804, 272.4428, 277.8989, 281.7895, 279.1705, 284.512, 259.2658, 304.6306, 350.7807, 369.4692},
	{269.4117, 273.474, 297.5968, 310.6316, 287.1726, 329.6076, 334.4818, 343.2199, 369.1417, 364.1236},
}

// Productivity of six workers on three machines, three times each (Milliken &
// Johnson, Analysis of Messy Data, 1984; the data set Machines of R's nlme).
var machines = [3][6][]float64{
	{{52, 52.8, 53.1}, {51.8, 52.8, 53.1}, {60, 60.2, 58.4}, {51.1, 52.3, 50.3}, {50.9, 51.8, 51.4}, {46.4, 44.8, 49.2}},
	{{62.1, 62.6, 64}, {59.7, 60, 59}, {68.6, 65.8, 69.7}, {63.2, 62.8, 62.2}, {64.8, 65, 65.4}, {43.7, 44.2, 43}},
	{{67.5, 67.2, 66.9}, {61.5, 61.7, 62.3}, {70.8, 70.6, 71}, {64.1, 66.2, 64}, {72.1, 72, 71.1}, {62, 61.4, 60.5}},
}

// long lays the rows of a table one after the other, with the row as level.
func long(table [][]float64) (y []float64, row, column []int) {
	for i, r := range table {
		for j, v := range r {
			y, row, column = append(y, v), append(row, i), append(column, j)
		}
	}
	return y, row, column
}

func fitMixed(t *testing.T, y []float64, x [][]float64, terms ...Term) *Mixed {
	t.Helper()
	m, err := FitMixed(y, x, terms...)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// R: lme(distance ~ age, random = ~1 | Subject, Orthodont), its fixef, VarCorr,
// logLik and tTable; lmerTest::lmer(distance ~ age + Sex + (1 | Subject),
// Orthodont), whose df of Sex, 25, is that of Kenward and Roger too.
func TestMixedOnOrthodont(t *testing.T) {
	y, subject, at := long(orthodont)
	var age, sex [][]float64
	for i := range y {
		girl := 0.0
		if subject[i] < girls {
			girl = 1
		}
		years := float64(8 + 2*at[i])
		age, sex = append(age, []float64{1, years}), append(sex, []float64{1, years, girl})
	}
	m := fitMixed(t, y, age, Term{Level: subject})
	near(t, "intercept", m.Coef[0], 16.761111111111, 1e-10)
	near(t, "age", m.Coef[1], 0.660185185185, 1e-11)
	near(t, "SE of the intercept", m.SE[0], 0.80239522, 2e-7)
	near(t, "SE of age", m.SE[1], 0.0616059163, 2e-8)
	near(t, "SD of subjects", m.SD[0], 2.1147235, 1e-6)
	near(t, "SD of residuals", m.Residual, 1.4315921, 1e-6)
	near(t, "log-likelihood", m.LogLik, -223.501257798, 1e-8)

	m = fitMixed(t, y, sex, Term{Level: subject})
	test, err := m.Test([]float64{0, 0, 1}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "female", test.Difference, -2.321022727273, 1e-10)
	near(t, "its SE", test.SE, 0.76141685, 1e-7)
	near(t, "its t", test.T, -3.04829441, 5e-7) // its square is the F of 9.2921
	near(t, "its df", test.DF, 25, 1e-6)
	near(t, "its p", test.P, 0.00537505597, 1e-8)
	intercept, _ := m.Test([]float64{1, 0, 0}, 0.95)
	near(t, "df of the intercept", intercept.DF, 99.3523652, 1e-4)
	near(t, "log-likelihood", m.LogLik, -218.756253914, 1e-8)
}

// R: lmerTest::lmer(Reaction ~ Days + (1 | Subject), sleepstudy) and
// lmerTest::lmer(Reaction ~ Days + (Days || Subject), sleepstudy), whose digits
// end with lme4's optimiser.
func TestMixedOnSleepstudy(t *testing.T) {
	y, subject, day := long(sleepstudy)
	var x [][]float64
	var days []float64
	for i := range y {
		days = append(days, float64(day[i]))
		x = append(x, []float64{1, days[i]})
	}
	m := fitMixed(t, y, x, Term{Level: subject})
	near(t, "intercept", m.Coef[0], 251.4051048485, 1e-8)
	near(t, "days", m.Coef[1], 10.4672859596, 1e-9)
	near(t, "SD of subjects", m.SD[0], 37.12382677, 1e-5)
	near(t, "SD of residuals", m.Residual, 30.99123390, 1e-6)
	near(t, "log-likelihood", m.LogLik, -893.232542697, 1e-7)
	test, _ := m.Test([]float64{0, 1}, 0.95)
	near(t, "SE of days", test.SE, 0.804221428945, 1e-8)
	near(t, "df of days", test.DF, 161, 1e-6)

	m = fitMixed(t, y, x, Term{Level: subject}, Term{Level: subject, Value: days})
	near(t, "days", m.Coef[1], 10.4672859596, 1e-8)
	near(t, "SD of subjects", m.SD[0], 25.051328, 2e-4)
	near(t, "SD of their slopes", m.SD[1], 5.988187, 1e-4)
	near(t, "SD of residuals", m.Residual, 25.565279, 1e-4)
	near(t, "log-likelihood", m.LogLik, -871.834646791, 1e-6)
	test, _ = m.Test([]float64{0, 1}, 0.95)
	near(t, "SE of days", test.SE, 1.559569, 1e-5)
	near(t, "df of days", test.DF, 18.15609, 1e-3)
}

// worked returns the runs on the machines that keep lets in, in the order of R's
// data set.
func worked(keep func(i int) bool) (y []float64, x [][]float64, worker, cell []int) {
	i := 0
	for m, workers := range machines {
		for w, values := range workers {
			for _, v := range values {
				if keep(i) {
					row := []float64{1, 0, 0}
					if m > 0 {
						row[m] = 1
					}
					y, x = append(y, v), append(x, row)
					worker, cell = append(worker, w), append(cell, 3*w+m)
				}
				i++
			}
		}
	}
	return y, x, worker, cell
}

// dropped are rows 2, 3, 6, 8, 9, 12, 20, 27 and 33 of R's data set.
func dropped(i int) bool {
	switch i + 1 {
	case 2, 3, 6, 8, 9, 12, 20, 27, 33:
		return false
	}
	return true
}

// R: lmerTest::lmer(score ~ Machine + (1 | Worker) + (1 | Worker:Machine),
// Machines), with Machine an unordered factor; then the same without nine rows,
// Machines[-c(2, 3, 6, 8, 9, 12, 20, 27, 33), ].
func TestMixedOnMachines(t *testing.T) {
	for _, c := range []struct {
		name                       string
		keep                       func(int) bool
		b, se, df, p               float64
		worker, cell, rest, logLik float64
	}{
		{"all", func(int) bool { return true }, 7.96666666667, 2.17697548145, 10, 4.39263279978e-03,
			4.781050584915, 3.729538425171, 0.961576636058, -107.843784004},
		{"uneven", dropped, 7.81746667338, 2.18533947748, 10.18896027165, 4.88866512658e-03,
			4.734176218747, 3.723420765451, 0.951521985411, -93.0106107945},
	} {
		y, x, worker, cell := worked(c.keep)
		m := fitMixed(t, y, x, Term{Level: worker}, Term{Level: cell})
		near(t, c.name+": SD of workers", m.SD[0], c.worker, 1e-4)
		near(t, c.name+": SD of cells", m.SD[1], c.cell, 1e-4)
		near(t, c.name+": SD of residuals", m.Residual, c.rest, 2e-6)
		near(t, c.name+": log-likelihood", m.LogLik, c.logLik, 1e-7)
		test, err := m.Test([]float64{0, 1, 0}, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name+": B", test.Difference, c.b, 1e-6)
		near(t, c.name+": SE of B", test.SE, c.se, 2e-5)
		near(t, c.name+": df of B", test.DF, c.df, 1e-3)
		near(t, c.name+": p of B", test.P, c.p, 1e-6)
	}
}

// With even numbers the mixed model of players and players' clubs gives the
// paired t test of the players' means, whose degrees of freedom it finds.
func TestMixedIsPairedWhenEven(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	const players, runs = 7, 4
	var y, meanA, meanB []float64
	var x [][]float64
	var player, cell []int
	for p := range players {
		base := 20 * rng.NormFloat64()
		for club := range 2 {
			own := base + 3*rng.NormFloat64() + float64(club)
			sum := 0.0
			for range runs {
				v := own + 2*rng.NormFloat64()
				y, x = append(y, v), append(x, []float64{1, float64(club)})
				player, cell = append(player, p), append(cell, 2*p+club)
				sum += v / runs
			}
			if club == 0 {
				meanA = append(meanA, sum)
			} else {
				meanB = append(meanB, sum)
			}
		}
	}
	m := fitMixed(t, y, x, Term{Level: player}, Term{Level: cell})
	got, err := m.Test([]float64{0, 1}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	want, _ := Paired(meanA, meanB, 0.95)
	near(t, "difference", got.Difference, want.Difference, 1e-10)
	near(t, "SE", got.SE, want.SE, 1e-8)
	near(t, "df", got.DF, want.DF, 1e-6)
	near(t, "p", got.P, want.P, 1e-8)
}

// Effects that the data do not show are 0, and the rest is least squares.
func TestMixedWithoutEffect(t *testing.T) {
	y := []float64{1, 5, 3, 2, 4, 3, 5, 1, 3} // three levels of one mean
	level := []int{0, 0, 0, 1, 1, 1, 2, 2, 2}
	x := make([][]float64, len(y))
	for i := range x {
		x[i] = []float64{1}
	}
	m := fitMixed(t, y, x, Term{Level: level})
	s := Summarize(y)
	near(t, "SD of the term", m.SD[0], 0, 0)
	near(t, "mean", m.Coef[0], s.Mean, 1e-12)
	near(t, "residual", m.Residual, s.SD, 1e-12)
	test, err := m.Test([]float64{1}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "df", test.DF, 8, 1e-9)
	plain := fitMixed(t, y, x)
	near(t, "log-likelihood without the term", plain.LogLik, m.LogLik, 1e-9)
}

func TestMixedRefuses(t *testing.T) {
	one := [][]float64{{1}, {1}, {1}, {1}}
	if _, err := FitMixed([]float64{1}, one[:1], Term{Level: []int{0}}); !errors.Is(err, ErrTooFew) {
		t.Errorf("one value: %v", err)
	}
	if _, err := FitMixed([]float64{.1, .1, .1, .1}, one, Term{Level: []int{0, 0, 1, 1}}); !errors.Is(err, ErrNoSpread) {
		t.Errorf("equal values: %v", err)
	}
	if _, err := FitMixed([]float64{1, 2, 3, 4}, [][]float64{{1, 2}, {1, 2}, {1, 2}, {1, 2}}, Term{Level: []int{0, 0, 1, 1}}); !errors.Is(err, ErrConfounded) {
		t.Errorf("a column twice: %v", err)
	}
	// A level for each observation cannot be told from the residual.
	if m, err := FitMixed([]float64{1, 2, 4, 3}, one, Term{Level: []int{0, 1, 2, 3}}); err == nil {
		t.Errorf("a level each: %+v", m)
	}
}

// Recovery of the simulated truth: 60 players of 4 runs with each club. The
// estimates of standard deviations have standard errors near 9 % of 6 for
// players, 14 % of 2 for cells and 4 % of 1.5 for runs; the bounds are three.
func TestMixedRecovers(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	var y []float64
	var x [][]float64
	var player, cell []int
	for p := range 60 {
		base := 6 * rng.NormFloat64()
		for club := range 2 {
			own := base + 2*rng.NormFloat64() + 3*float64(club)
			for range 4 {
				y, x = append(y, own+1.5*rng.NormFloat64()), append(x, []float64{1, float64(club)})
				player, cell = append(player, p), append(cell, 2*p+club)
			}
		}
	}
	m := fitMixed(t, y, x, Term{Level: player}, Term{Level: cell})
	near(t, "SD of players", m.SD[0], 6, 3*0.09*6)
	near(t, "SD of cells", m.SD[1], 2, 3*0.14*2)
	near(t, "SD of runs", m.Residual, 1.5, 3*0.04*1.5)
	near(t, "difference", m.Coef[1], 3, 3*m.SE[1])
}

// The interval of the mixed model holds the truth as often as it says, with few
// players and uneven runs. With 600 samples the standard error of the share is
// √(0.95·0.05/600) = 0.0089.
func TestMixedCoverage(t *testing.T) {
	const samples, truth = 600, 1.0
	rng := rand.New(rand.NewPCG(25, 26))
	held := 0.0
	for range samples {
		var y []float64
		var x [][]float64
		var player, cell []int
		for p := range 6 {
			base := 10 * rng.NormFloat64()
			for club := range 2 {
				own := base + rng.NormFloat64() + truth*float64(club)
				for range 2 + rng.IntN(4) {
					y, x = append(y, own+2*rng.NormFloat64()), append(x, []float64{1, float64(club)})
					player, cell = append(player, p), append(cell, 2*p+club)
				}
			}
		}
		m := fitMixed(t, y, x, Term{Level: player}, Term{Level: cell})
		test, err := m.Test([]float64{0, 1}, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		if test.Low <= truth && truth <= test.High {
			held++
		}
	}
	near(t, "coverage", held/samples, 0.95, 3*0.0089)
}

func BenchmarkMixed(b *testing.B) {
	rng := rand.New(rand.NewPCG(27, 28))
	var y []float64
	var x [][]float64
	var player, cell []int
	for i := range 200 {
		p, club := i/20, i%2
		y, x = append(y, float64(5*p)+2*rng.NormFloat64()), append(x, []float64{1, float64(club)})
		player, cell = append(player, p), append(cell, 2*p+club)
	}
	for b.Loop() {
		if _, err := FitMixed(y, x, Term{Level: player}, Term{Level: cell}); err != nil {
			b.Fatal(err)
		}
	}
}
