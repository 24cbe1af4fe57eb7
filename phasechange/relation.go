package phasechange

import (
	"math"

	"example.com/thawfront/materials"
)

// The temperatures a Relation covers [°C]. Component properties are published
// for -40 to 150 °C and continued beyond (see package materials).
const (
	MinTemperature = -100.0
	MaxTemperature = 400.0
)

// The pressures around a food that are taken [Pa].
const (
	MinPressure = 20e3
	MaxPressure = 500e3
)

// Settings of a Relation. The zero value is a good default.
type Settings struct {
	IceCurve IceCurve // default BoundWater
	Pressure float64  // [Pa] around the food, 20e3 to 500e3; default (0) = 101325
}

// Relation is the energy-temperature relation of one food. It does not change
// once made and may be shared between goroutines.
type Relation struct {
	food    materials.Food
	density float64 // [kg/m³]
	water   float64 // [kg/m³] of the original food
	ice     freezing
	dry     drying
	solid   solidGrid
	moist   moistGrid
	path    table // of the original water content, through drying
	lowest  float64
	highest float64
	startT  float64 // boiling point of the original food: the drying piece begins here
	solid0  float64 // [J/m³] energy of the solids at 0 °C
	left    float64 // [J/(m³ K)] heat capacity of what takes the place of all the water, see residualHeat
	carried []carriedNode
	// [W/m], [W/(m K)] flux potential where the original food begins to boil, conductivity
	potential, conductivity float64
}

// New makes the relation of a food. A food with Measured curves is taken as
// they stand: no ice, no drying.
func New(f materials.Food, s Settings) (*Relation, error) {
	if err := f.Validate(); err != nil {
		return nil, err
	}
	if s.Pressure == 0 {
		s.Pressure = StandardPressure
	}
	if !(s.Pressure >= MinPressure && s.Pressure <= MaxPressure) {
		return nil, &Error{f.Name, "pressure [Pa]", s.Pressure, "20e3 to 500e3"}
	}
	if s.IceCurve > IdealSolution {
		return nil, &Error{f.Name, "ice curve", s.IceCurve, "BoundWater, Miles, Tchigeov or IdealSolution"}
	}
	r := &Relation{food: f, density: f.Density(), lowest: MinTemperature, highest: MaxTemperature}
	if f.Measured != nil {
		r.fromMeasured()
		return r, nil
	}
	tf := f.InitialFreezingPoint()
	r.water = r.density * f.Composition.Water
	r.ice = newFreezing(s.IceCurve, tf, r.water, r.density*f.Bound())
	r.dry = newDrying(f, r.density, tf, s.Pressure)
	r.solid = newSolidGrid(f, r.density)
	r.solid0, _ = r.solid.at(0)
	if r.water > 0 {
		r.left = math.Max(0, residualHeat-r.density*f.Composition.Solids()*1e3)
	}
	r.moist = newMoistGrid(r)
	r.startT = r.dry.boilingPoint(r.water, r.highest)
	r.build()
	var hint int32
	r.potential, r.conductivity = r.path.conducts(r.startT-1e-6, &hint)
	return r, nil
}

// fromMeasured takes the user's points: straight lines between them in U, which
// is counted from the first, whatever the zero of the measurement.
func (r *Relation) fromMeasured() {
	p := r.food.Measured.Points
	r.lowest, r.highest = p[0].T, p[len(p)-1].T
	r.path.u = append(r.path.u, 0)
	for i := 1; i < len(p); i++ {
		u := r.density * (p[i].Enthalpy - p[0].Enthalpy)
		rise, k, more := p[i].T-p[i-1].T, p[i-1].Conductivity, p[i].Conductivity-p[i-1].Conductivity
		r.path.add(segment{inv: 1 / (u - r.path.u[i-1]), t0: p[i-1].T, t1: rise, k0: k, k1: more, f1: k * rise, f2: more * rise / 2}, u)
	}
	r.startT = math.Inf(1)
}

// build lays out the path of the original water content in smooth pieces:
// frozen, unfrozen (split where the water's specific heat jumps), drying.
func (r *Relation) build() {
	tf := r.ice.point(r.water, r.lowest)
	for t := r.lowest; t < tf; {
		// pieces shrink with the distance to the freezing point, as the curve bends
		next := tf - (tf-t)*0.45
		if tf-next < 0.02 {
			next = tf
		}
		r.path.appendPiece(r.frozenPath, t, next)
		t = next
	}
	for _, end := range []float64{0, r.startT} {
		if tf < end {
			r.path.appendPiece(r.unfrozenPath, tf, end)
			tf = end
		}
	}
	if r.startT < r.highest {
		r.carried = r.layCarried()
		for i := 1; i < len(r.carried); i++ {
			r.path.appendPiece(r.dryingPath, r.carried[i-1].t, r.carried[i].t)
		}
	}
}

// frozenState is U and dU/dT at t below the freezing point of water content w.
func (r *Relation) frozenState(t, w float64) (u, slope float64) {
	s, ds := r.solid.at(t)
	m, dm := r.ice.unfrozen(t)
	hl, cl := materials.Water.Enthalpy(t), materials.Water.SpecificHeat(t)
	hi, ci := iceEnthalpy(t), materials.Ice.SpecificHeat(t)
	b, db := r.besides(t, w)
	return s + b + m*hl + (w-m)*hi, ds + db + m*cl + (w-m)*ci + dm*(hl-hi)
}

// unfrozenState is U and dU/dT with all of water content w liquid.
func (r *Relation) unfrozenState(t, w float64) (u, slope float64) {
	s, ds := r.solid.at(t)
	b, db := r.besides(t, w)
	return s + b + w*materials.Water.Enthalpy(t), ds + db + w*materials.Water.SpecificHeat(t)
}

// residualHeat [J/(m³ K)] is the least heat capacity a food keeps when its water
// has boiled away: a fortieth of water's, so that only foods with less than 100
// kg/m³ of solids are given any, in proportion to the water lost. It stands for
// whatever takes the place (steam alone would be 1.2e3), so that temperature stays
// a function of energy that a solver can follow; a dish of pure water would not
// boil dry without. It counts from the boiling point of pure water, where the
// water leaves, so that the heat of steam is unchanged.
const residualHeat = 1e5

// besides is the part of the energy and of its slope that is neither solids nor
// free water and ice: residualHeat, and below 0 °C what has to be taken off because
// the water that never freezes takes up heat as ice does, without the heat of
// fusion.
//
// The polynomial for supercooled water is one for water that could freeze: 5.9
// kJ/(kg K) at -40 °C (Choi & Okos 1986). Water that is tied to protein and starch
// shows nothing of that rise. Given to it, the polynomial leaves the enthalpy of
// 14 foods (testdata/ashrae-worked-examples/frozen-enthalpy.csv, Riedel) over -40
// °C, as a share of H(0)-H(-40), with an rms error of 4.8 % at -20 and 5.4 % at -10 °C;
// with ice's specific heat it is 2.1 and 1.8 %. With bound water and freezing points
// fitted to either, all temperatures together are 3.2 % off, or 1.6.
func (r *Relation) besides(t, w float64) (u, slope float64) {
	if r.left > 0 && w < r.water {
		slope = r.left * (1 - w/r.water)
		u = slope * (t - r.dry.ts)
	}
	if t < 0 {
		b := math.Min(w, r.ice.bound)
		u += b * (materials.Ice.Enthalpy(t) - materials.Water.Enthalpy(t))
		slope += b * (materials.Ice.SpecificHeat(t) - materials.Water.SpecificHeat(t))
	}
	return u, slope
}

func (r *Relation) frozenPath(t float64) (u, slope, k float64) {
	u, slope = r.frozenState(t, r.water)
	return u, slope, r.frozenConductivity(t, r.water)
}

// unfrozenPath takes the slope at 0 °C from the side it is on: pieces end there
// and the water's specific heat jumps, free water's by 2 %, bound water's by half.
func (r *Relation) unfrozenPath(t float64) (u, slope, k float64) {
	u, slope = r.unfrozenState(t, r.water)
	k, _ = r.moist.at(t, r.water)
	return u, slope, k
}

func (r *Relation) frozenConductivity(t, w float64) float64 {
	m, _ := r.ice.unfrozen(t)
	m = math.Min(m, w)
	return r.food.Conductivity(t, m/r.density, (w-m)/r.density)
}

// iceEnthalpy is the enthalpy [J/kg] of ice at t above liquid water at 0 °C.
func iceEnthalpy(t float64) float64 { return materials.Ice.Enthalpy(t) - materials.LatentHeatFusion }

// carriedNode is a point on the drying piece: G is the energy that steam has
// carried away per volume since the original food began to boil.
type carriedNode struct{ t, held float64 }

// layCarried places nodes along the drying piece and integrates the water held
// over temperature between them, which is what G needs:
//
//	G(T) = ∫ hv (-dw) = hv(Tb) w0 - hv(T) w(T) + cp,steam ∫ w dT
func (r *Relation) layCarried() []carriedNode {
	nodes := []carriedNode{{r.startT, 0}}
	add := func(t float64) {
		last := nodes[len(nodes)-1]
		nodes = append(nodes, carriedNode{t, last.held + r.heldIntegral(last.t, t)})
	}
	// near activity 1 the water falls steeply: steps by the distance from it
	for gap := r.startT - r.dry.ts; gap < 4 && r.dry.ts+1.3*gap < r.highest; {
		gap *= 1.3
		add(r.dry.ts + gap)
	}
	for t := nodes[len(nodes)-1].t; t < r.highest; {
		t = math.Min(t+6, r.highest)
		add(t)
	}
	return nodes
}

// heldIntegral is ∫ w(T) dT from a to b, by Gauss-Legendre with four points.
func (r *Relation) heldIntegral(a, b float64) float64 {
	x := [...]float64{0.8611363115940526, 0.3399810435848563}
	w := [...]float64{0.3478548451374538, 0.6521451548625461}
	var sum float64
	for i := range x {
		d := (b - a) / 2 * x[i]
		sum += w[i] * (r.dry.limit((a+b)/2-d) + r.dry.limit((a+b)/2+d))
	}
	return sum * (b - a) / 2
}

// dryingPath is U (steam's heat included) along the drying piece.
func (r *Relation) dryingPath(t float64) (u, slope, k float64) {
	i := 0
	for i < len(r.carried)-2 && r.carried[i+1].t <= t {
		i++
	}
	w := r.water
	if t > r.startT {
		w = r.dry.limit(t)
	}
	d := math.Min(1e-3, 0.01*(t-r.dry.ts))
	dw := (r.dry.limit(t+d) - r.dry.limit(t-d)) / (2 * d)
	held := r.carried[i].held + r.heldIntegral(r.carried[i].t, t)
	hv := steamEnthalpy(t, r.dry.ts)
	u, slope = r.unfrozenState(t, w)
	u += steamEnthalpy(r.startT, r.dry.ts)*r.water - hv*w + steamCp*held
	slope += dw * (materials.Water.Enthalpy(t) - hv)
	if r.left > 0 {
		slope -= dw * r.left / r.water * (t - r.dry.ts)
	}
	k, _ = r.moist.at(t, w)
	return u, slope, k
}
