package phasechange

import (
	"math"
	"sync"

	"example.com/thawfront/materials"
)

// solidGrid is the energy of all but water [J/m³] on an even temperature grid:
// a sum of five polynomials and a melting curve, made cheap.
type solidGrid struct {
	seg []segment4
}

type segment4 struct{ c0, c1, c2, c3 float64 }

const (
	solidStep  = 2.0 // [K]
	solidNodes = int((MaxTemperature-MinTemperature)/solidStep) + 1
)

// nodeValues are a function and its slope times the step at the grid's nodes.
type nodeValues [solidNodes][2]float64

func sample(f func(t float64) float64) *nodeValues {
	v := new(nodeValues)
	for i := range v {
		t := MinTemperature + float64(i)*solidStep
		v[i] = [2]float64{f(t), (f(t+0.01) - f(t-0.01)) / 0.02 * solidStep}
	}
	return v
}

// The enthalpies [J/kg] of the components, and of fat in each kind with its
// melting, are sampled once for all foods and never change.
var (
	dryComponents = sync.OnceValue(func() (v [4]*nodeValues) {
		for i, c := range [...]materials.Component{materials.Protein, materials.Carbohydrate, materials.Fibre, materials.Ash} {
			v[i] = sample(c.Enthalpy)
		}
		return v
	})
	fats = sync.OnceValue(func() (v []*nodeValues) {
		for kind := materials.NoFat; kind <= materials.PastryMargarine; kind++ {
			v = append(v, sample(func(t float64) float64 { return materials.Fat.Enthalpy(t) + fatMelted(kind, t) }))
		}
		return v
	})
)

func newSolidGrid(f materials.Food, density float64) solidGrid {
	c, d, fat := f.Composition, dryComponents(), fats()[f.FatKind]
	share := [...]float64{density * c.Protein, density * c.Carbohydrate, density * c.Fibre, density * c.Ash, density * c.Fat}
	at := func(i int) (v, s float64) {
		for j, n := range [...]*nodeValues{d[0], d[1], d[2], d[3], fat} {
			v += share[j] * n[i][0]
			s += share[j] * n[i][1]
		}
		return v, s
	}
	g := solidGrid{make([]segment4, solidNodes-1)}
	v0, s0 := at(0)
	for i := range g.seg {
		v1, s1 := at(i + 1)
		g.seg[i] = segment4{v0, s0, 3*(v1-v0) - 2*s0 - s1, s0 + s1 - 2*(v1-v0)}
		v0, s0 = v1, s1
	}
	return g
}

// at gives the energy [J/m³] and its slope [J/(m³ K)]; straight on outside.
func (g *solidGrid) at(t float64) (v, slope float64) {
	x := (t - MinTemperature) / solidStep
	i := min(max(int(x), 0), len(g.seg)-1)
	x -= float64(i)
	s := &g.seg[i]
	if x < 0 || x > 1 {
		e := math.Max(0, math.Min(1, x))
		d := s.c1 + e*(2*s.c2+3*e*s.c3)
		return s.c0 + e*(s.c1+e*(s.c2+e*s.c3)) + d*(x-e), d / solidStep
	}
	return s.c0 + x*(s.c1+x*(s.c2+x*s.c3)), (s.c1 + x*(2*s.c2+3*x*s.c3)) / solidStep
}

// moistGrid is the conductivity of the unfrozen food: parabolas over
// temperature, as the components' own are, straight lines over water content.
// Against the mixture models it stays within 0.5 %, and within 1 % with less than
// a tenth of the water (tested).
type moistGrid struct {
	k     [moistT][moistW]float64
	scale float64 // (moistW-1)/water
}

const (
	moistW    = 21
	moistT    = 27     // odd: a parabola takes three
	moistLow  = -120.0 // [°C] so that a parabola ends at -40, where the components bend
	moistStep = 20.0   // [K]
)

func newMoistGrid(r *Relation) moistGrid {
	var g moistGrid
	if r.water > 0 {
		g.scale = (moistW - 1) / r.water
	}
	for i := range g.k {
		t := moistLow + float64(i)*moistStep
		for j := range g.k[i] {
			g.k[i][j] = r.food.Conductivity(t, float64(j)/(moistW-1)*r.food.Composition.Water, 0)
		}
	}
	return g
}

// at gives k [W/(m K)] and dk/dT at fixed water content.
func (g *moistGrid) at(t, w float64) (k, slope float64) {
	k, slope, _ = g.by(t, w)
	return k, slope
}

// by gives also dk/dw [W m²/(K kg)].
func (g *moistGrid) by(t, w float64) (k, slope, byWater float64) {
	if t != t || w != w {
		return t + w, t + w, t + w // a step that has failed
	}
	x := max(0, min(moistT-1, (t-moistLow)/moistStep))
	y := max(0, min(moistW-1, w*g.scale))
	i, j := min(int(x)&^1, moistT-3), min(int(y), moistW-2)
	x -= float64(i)
	y -= float64(j)
	da, db, dc := g.k[i][j+1]-g.k[i][j], g.k[i+1][j+1]-g.k[i+1][j], g.k[i+2][j+1]-g.k[i+2][j]
	a, b, c := g.k[i][j]+y*da, g.k[i+1][j]+y*db, g.k[i+2][j]+y*dc
	bend := a - 2*b + c
	rise := b - a - bend/2
	if w*g.scale > moistW-1 {
		da, db = 0, 0 // more water than the food's own conducts no better
	}
	return a + x*(rise+x*bend/2), (rise + x*bend) / moistStep, g.scale * (da + x*(db-da))
}
