package contrast

import (
	"errors"
	"math"
	"testing"
)

// NIST Statistical Reference Datasets, linear regression, Norris: y, x and the
// certified values.
func TestLeastSquaresOnNorris(t *testing.T) {
	data := [][2]float64{
		{.1, .2}, {338.8, 337.4}, {118.1, 118.2}, {888.0, 884.6}, {9.2, 10.1}, {228.1, 226.5},
		{668.5, 666.3}, {998.5, 996.3}, {449.1, 448.6}, {778.9, 777.0}, {559.2, 558.2}, {.3, .4},
		{.1, .6}, {778.1, 775.5}, {668.8, 666.9}, {339.3, 338.0}, {448.9, 447.5}, {10.8, 11.6},
		{557.7, 556.0}, {228.3, 228.1}, {998.0, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {.3, .3},
		{.6, .3}, {557.6, 556.8}, {339.3, 339.1}, {888.0, 887.2}, {998.5, 999.0}, {778.9, 779.0},
		{10.2, 11.1}, {117.6, 118.3}, {228.9, 229.2}, {668.4, 669.1}, {449.2, 448.9}, {.2, .5},
	}
	var x [][]float64
	var y []float64
	for _, d := range data {
		y, x = append(y, d[0]), append(x, []float64{1, d[1]})
	}
	l, err := leastSquares(x, y)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "intercept", l.coef[0], -.262323073774029, 1e-11)
	near(t, "slope", l.coef[1], 1.00211681802045, 1e-13)
	near(t, "SE of the intercept", l.se(0), .232818234301152, 1e-12)
	near(t, "SE of the slope", l.se(1), .000429796848199937, 1e-15)
	near(t, "residual SD", l.sd, .884796396144373, 1e-12)
	near(t, "df", l.df, 34, 0)
}

func TestLeastSquaresRefuses(t *testing.T) {
	if _, err := leastSquares([][]float64{{1, 1}, {1, 2}}, []float64{1, 2}); !errors.Is(err, ErrTooFew) {
		t.Errorf("two pairs: %v", err)
	}
	if _, err := leastSquares([][]float64{{1, 3}, {1, 3}, {1, 3}}, []float64{1, 2, 4}); !errors.Is(err, ErrConfounded) {
		t.Errorf("one x: %v", err)
	}
}

// covaried returns the runs on machines A and B of TestMixedOnMachines without
// nine rows, with a made-up covariate: x <- 45 + ((seq_len(27)*7) %% 11)/10.
func covaried() (runs []Run, x [][]float64, y []float64, cell []int) {
	y, _, worker, cell := worked(func(i int) bool { return dropped(i) && i < 36 })
	for i, w := range worker {
		second := 0.0
		if cell[i]%3 == 1 {
			second = 1
		}
		speed := 45 + float64((i+1)*7%11)/10
		runs = append(runs, Run{Y: y[i], X: speed, Second: second == 1, Block: w})
		x = append(x, []float64{1, second, speed})
	}
	return runs, x, y, cell
}

// R: f <- lm(score ~ Machine + x + Worker); summary(f); confint(f).
func TestAncovaOnMachines(t *testing.T) {
	runs, _, _, _ := covaried()
	a, err := Ancova(runs, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "B", a.Difference, 7.086256087702, 1e-10)
	near(t, "SE", a.SE, 1.44703712138, 1e-10)
	near(t, "low", a.Low, 4.05757258503, 1e-9)
	near(t, "high", a.High, 10.114939590379, 1e-9)
	near(t, "p", a.P, 1.00085649955e-04, 1e-13)
	near(t, "df", a.DF, 19, 0)
	near(t, "slope", a.Slope, -0.230425695526, 1e-10)
	near(t, "SE of the slope", a.SlopeSE, 2.34245874711, 1e-10)

	for i := range runs {
		runs[i].Second = !runs[i].Second
	}
	back, _ := Ancova(runs, 0.95)
	near(t, "the other way round", back.Difference, -a.Difference, 1e-12)
	near(t, "p", back.P, a.P, 1e-15)
}

// R: lmerTest::lmer(score ~ Machine + x + (1 | Worker) + (1 | Worker:Machine)),
// uneven and with a covariate.
func TestMixedWithCovariate(t *testing.T) {
	runs, x, y, cell := covaried()
	var worker []int
	for _, r := range runs {
		worker = append(worker, r.Block)
	}
	m := fitMixed(t, y, x, Term{Level: worker}, Term{Level: cell})
	test, err := m.Test([]float64{0, 1, 0}, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "B", test.Difference, 7.89428632021, 1e-5)
	near(t, "SE", test.SE, 2.493860092719, 1e-4)
	near(t, "df", test.DF, 5.06419261969, 1e-3)
	near(t, "slope", m.Coef[2], 1.56827212392, 1e-5)
}

// Faster swings alone make the second set higher; at equal speed it is not.
func TestAncovaTakesTheCovariateOff(t *testing.T) {
	var runs []Run
	wave := []float64{.3, -.2, .1, -.4, .2, 0, -.1, .1}
	for i, e := range wave {
		second := i%2 == 1
		x := 44 + float64(i)/4
		if second {
			x += 2
		}
		runs = append(runs, Run{Y: 10 + 3*x + e/100, X: x, Second: second})
	}
	a, err := Ancova(runs, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "difference", a.Difference, 0, 0.01)
	near(t, "slope", a.Slope, 3, 0.01)
	near(t, "difference of the covariate", a.CovariateDiff, 2.25, 1e-12)
}

func TestAncovaRefuses(t *testing.T) {
	same := []Run{{1, 45, false, 0}, {2, 45, false, 0}, {3, 45, true, 0}, {5, 45, true, 0}}
	if _, err := Ancova(same, 0.95); !errors.Is(err, ErrConfounded) {
		t.Errorf("one speed: %v", err)
	}
	same[1].X, same[2].X = 46, math.NaN()
	if a, err := Ancova(same, 0.95); !errors.Is(err, ErrTooFew) || !math.IsNaN(a.Difference) {
		t.Errorf("three runs: %+v, %v", a, err)
	}
	if _, err := Ancova(same[:2], 0.95); !errors.Is(err, ErrTooFew) {
		t.Errorf("one set: %v", err)
	}
}
