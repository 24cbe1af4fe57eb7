package thermal

import (
	"math"

	"example.com/thawfront/geometry"
	"example.com/thawfront/phasechange"
)

// kelvin is 0 °C in kelvin.
const kelvin = 273.15

// system is the dish as the integrator sees it: the energy U of every cell, and
// from it the heat that flows through every face and surface, with the
// derivatives of both. Nothing here allocates.
type system struct {
	mesh     *geometry.Mesh
	layers   []*phasechange.Relation // one a layer
	spans    [][2]int                // first and past-last cell of each layer
	faces    []face
	relation []*phasechange.Relation // one a cell
	anchors  []phasechange.Anchor
	volume   []float64
	mass     []float64 // volume for each unknown: energies, with moving water then that
	hints    []int32
	wet      *wet   // nil if only heat moves
	risen    *risen // nil if no layer rises

	// state of the cells at the last assembly
	temp, dT []float64 // [°C], [K m³/J]
	k, dk    []float64 // [W/(m K)], [W m²/(K J)]
	// flux potential [W/m] and its slope [W m²/J]; no number where water has boiled away
	pot, dpot []float64

	heat             []float64 // [W] net heat into each cell
	diag, up, low    []float64 // d heat/dU: own cell; up[f]: A by B's energy; low[f]: B by A's
	surfaces         []surface
	jac              tridiagonal
	sparse           *sparse // in place of jac, also that of wet; nil if the cells are a chain
	assemblies       int
	factorisations   int
	lowestT, highest float64 // [°C] all relations cover at least this span
}

// face is geometry.Face with what the flux needs, packed.
type face struct {
	a, b         int32
	halfA, halfB float64 // [1/m]
	contact      float64 // [K/W]
	// inside [m] is what the halves let through of a conductivity of 1, where both are of
	// one food; no number elsewhere.
	inside float64
}

func newSystem(m *model) *system {
	mesh, layers := m.mesh, m.relations
	n := len(mesh.Cells)
	s := &system{mesh: mesh, layers: layers, lowestT: math.Inf(-1), highest: math.Inf(1),
		relation: make([]*phasechange.Relation, n), anchors: make([]phasechange.Anchor, n), hints: make([]int32, n)}
	block := make([]float64, 9*n)
	for _, p := range []*[]float64{&s.volume, &s.temp, &s.dT, &s.k, &s.dk, &s.pot, &s.dpot, &s.heat, &s.diag} {
		*p, block = block[:n:n], block[n:]
	}
	couplings := max(n, len(mesh.Faces)) // a chain's solver wants one a cell
	s.up, s.low = make([]float64, couplings), make([]float64, couplings)
	for i, c := range mesh.Cells {
		s.relation[i] = layers[c.Layer]
		s.volume[i] = c.Volume
		s.temp[i] = math.NaN()
	}
	for _, r := range layers {
		lo, hi := r.Range()
		s.lowestT, s.highest = math.Max(s.lowestT, lo), math.Min(s.highest, hi)
	}
	for l := range layers {
		first, end := mesh.Span(l)
		s.spans = append(s.spans, [2]int{first, end})
	}
	for _, f := range mesh.Faces {
		inside := math.NaN()
		if mesh.Cells[f.A].Layer == mesh.Cells[f.B].Layer && f.Contact == 0 {
			inside = 1 / (f.HalfA + f.HalfB)
		}
		s.faces = append(s.faces, face{int32(f.A), int32(f.B), f.HalfA, f.HalfB, f.Contact / f.Area, inside})
	}
	for _, f := range mesh.Surfaces {
		s.surfaces = append(s.surfaces, surface{Surface: f, temp: math.NaN()})
	}
	if m.rising != nil {
		s.risen = newRisen(m)
	}
	if m.laws == nil {
		s.mass = s.volume
	} else {
		s.makeWet(m)
	}
	switch {
	case !s.chained():
		s.sparse = newSparse(n, s.faces, len(s.mass)/n)
	case s.wet != nil:
		s.wet.jac = newBlockTridiagonal(n)
	default:
		s.jac = newTridiagonal(n)
	}
	return s
}

// chained says whether every cell but the last is joined to the next and to no other.
func (s *system) chained() bool {
	for i := range s.faces {
		if f := &s.faces[i]; int(f.a) != i || int(f.b) != i+1 {
			return false
		}
	}
	return len(s.faces) == len(s.volume)-1
}

// evaluate finds temperature and conductivity of every cell at energies u.
func (s *system) evaluate(u []float64) {
	if s.wet != nil {
		s.wet.evaluate(u)
		return
	}
	for l, r := range s.layers {
		i, j := s.spans[l][0], s.spans[l][1]
		r.Evaluate(u[i:j], s.anchors[i:j], s.hints[i:j],
			phasechange.States{T: s.temp[i:j], TU: s.dT[i:j], K: s.k[i:j], KU: s.dk[i:j], F: s.pot[i:j], FU: s.dpot[i:j]})
	}
	if s.risen != nil {
		s.loosen()
	}
}

// assemble evaluates the cells at energies u and sums the heat into each, with
// its derivatives. The surroundings must have been set.
func (s *system) assemble(u []float64) {
	s.assemblies++
	s.evaluate(u)
	if s.wet != nil {
		s.wet.assemble()
		return
	}
	n := len(u)
	pot, dpot, heat, diag := s.pot[:n], s.dpot[:n], s.heat[:n], s.diag[:n]
	clear(heat)
	clear(diag)
	up, low := s.up[:len(s.faces)], s.low[:len(s.faces)]
	for i := range s.faces {
		f := &s.faces[i]
		a, b := int(f.a), int(f.b)
		q := f.inside * (pot[b] - pot[a]) // into a
		da, db := -f.inside*dpot[a], f.inside*dpot[b]
		if q != q {
			q, da, db = s.across(f)
		}
		heat[a] += q
		heat[b] -= q
		diag[a] += da
		diag[b] -= db
		up[i], low[i] = db, -da
	}
	for i := range s.surfaces {
		f := &s.surfaces[i]
		s.meet(f)
		s.heat[f.Cell] += f.heat
		s.diag[f.Cell] += f.slope
	}
}

// across is the heat [W] through a face into a, with its slopes by the energies of both
// cells, where they are of two foods or have lost water: each half has the conductivity
// of its cell.
func (s *system) across(f *face) (q, da, db float64) {
	a, b := f.a, f.b
	ra, rb := f.halfA/s.k[a], f.halfB/s.k[b]
	g := 1 / (ra + rb + f.contact)
	q = g * (s.temp[b] - s.temp[a])
	// a conductivity that rises with energy lowers its half of the resistance
	da = g * (q*ra*s.dk[a]/s.k[a] - s.dT[a])
	db = g * (q*rb*s.dk[b]/s.k[b] + s.dT[b])
	return q, da, db
}

// surround sets what every surface meets at time t after the stage's start.
func (s *system) surround(stage *compiledStage, t float64) {
	for i := range s.surfaces {
		s.surfaces[i].meets = stage.meets(i, t)
		if s.wet != nil {
			s.wet.skins[i].surround(stage, s.wet.pressure)
		}
	}
}

// flowCount is how many flows the accounts need: the heat in through each
// surface, and with moving water those of wet.flows.
func (s *system) flowCount() int {
	if s.wet != nil {
		return s.wet.flowCount()
	}
	return len(s.surfaces)
}

// flows gives the flows at the last assembly.
func (s *system) flows(out []float64) {
	if s.wet != nil {
		s.wet.flows(out)
		return
	}
	for i := range s.surfaces {
		out[i] = s.surfaces[i].heat
	}
}

// addFlows adds times what a change v of the unknowns makes of the flows, to first
// order about the last assembly.
func (s *system) addFlows(out, v []float64, times float64) {
	if s.wet != nil {
		s.wet.addFlows(out, v, times)
		return
	}
	for i := range s.surfaces {
		out[i] += times * s.surfaces[i].slope * v[s.surfaces[i].Cell]
	}
}

// shift moves the cells' temperatures, and what else is read off the last
// assembly, by times a change v of the unknowns, to first order.
func (s *system) shift(v []float64, times float64) {
	if s.wet != nil {
		s.wet.shift(v, times)
		return
	}
	temp, dT, pot, dpot := s.temp[:len(v)], s.dT[:len(v)], s.pot[:len(v)], s.dpot[:len(v)]
	for i, x := range v {
		temp[i] += times * (dT[i] * x)
		pot[i] += times * (dpot[i] * x)
	}
}

// someWater keeps a guess x of the unknowns, which come from u, from foretelling less
// water than none.
func (s *system) someWater(x, u []float64) {
	if s.wet == nil {
		return
	}
	for i := len(s.volume); i < len(x); i++ {
		x[i] = max(x[i], 0.1*u[i])
	}
}

// factorSolve solves (mass - d J) x = r for one Newton step, in place.
func (s *system) factorSolve(d float64, x []float64) {
	w := s.wet
	switch {
	case s.sparse != nil && w != nil:
		s.sparse.factorSolveBlocks(s.volume, w.diag, w.up, w.low, d, x)
	case s.sparse != nil:
		s.sparse.factorSolve(s.volume, s.diag, s.up, s.low, d, x)
	case w != nil:
		w.jac.factorSolve(s.volume, w.diag, w.up, w.low, d, x)
	default:
		s.jac.factorSolve(s.volume, s.diag, s.up, s.low, d, x)
	}
}

// backSolve does so for another right-hand side.
func (s *system) backSolve(x []float64) {
	switch {
	case s.sparse != nil:
		s.sparse.solve(x)
	case s.wet != nil:
		s.wet.jac.solve(x)
	default:
		s.jac.solve(x)
	}
}

// water sums the water of all cells [kg] at unknowns x.
func (s *system) water(x []float64) float64 {
	var w float64
	if n := len(s.volume); s.wet != nil {
		var k kahan
		for i, v := range x[n:] {
			k.add(s.volume[i] * v)
		}
		return k.value()
	}
	for i := range s.anchors {
		w += s.anchors[i].Water() * s.volume[i]
	}
	return w
}
