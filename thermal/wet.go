package thermal

import (
	"math"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// wet is what a system has besides when water moves: a second unknown in every
// cell, its water, and the fluxes of liquid and vapour, each of which carries its
// enthalpy. The unknowns are the energies of all cells, followed by their water.
type wet struct {
	sys   *system
	n     int
	cells []wetCell
	faces []wetFace
	skins []wetSkin
	outs  []outlet // at the last assembly
	inlet          // juice on its way

	diag, up, low []block
	jac           blockTridiagonal
	pressure      float64 // [Pa] around the dish
	layers        int
}

// wetCell is a cell's state with the sinks in it.
type wetCell struct {
	phasechange.MoistCell
	law   *phasechange.Moist
	layer int32
	// for the faces
	resist, resistT, resistW float64 // [m K/W] 1/K, and K's relative slopes [1/K], [m³/kg]
	lean, leanT              float64 // [-] FT/K, and its relative slope [1/K]
	slow, liquidSlow, tight  float64 // Slow, LiquidSlow and Tight as risen
	vents                    float64 // [Pa] vapour pressure above which steam passes out
}

// outlet is the sinks of a cell that has any.
type outlet struct {
	cell         int
	steam, juice sink
}

// sink is water that leaves a cell on no face, and the energy it takes along, with
// slopes by the cell's energy and water.
type sink struct {
	mass, massU, massW float64 // [kg/s], [kg m³/(J s)], [m³/s]
	heat, heatU, heatW float64 // [W], [W m³/J], [W m³/kg]
}

// wetFace is what a face needs besides its halves.
type wetFace struct {
	same bool    // one food on both sides: liquid moves by water content
	area float64 // [m²] of the film
	film float64 // [Pa s/kg] resistance of a film to vapour; a film lets no liquid through
}

// steamRelease [kg/(m³ s Pa)] is how readily a cell lets steam go that is above the
// pressure it vents at. It stands for paths that hold nothing back: at the fierce
// 10 kg/(m³ s) of a drying front the cell is 200 Pa, or 0.06 K, above its boiling point.
const steamRelease = 0.05

func (s *system) makeWet(m *model) {
	n := len(m.mesh.Cells)
	w := &wet{sys: s, n: n, cells: make([]wetCell, n), faces: make([]wetFace, len(s.faces)), skins: make([]wetSkin, len(s.surfaces)),
		outs: make([]outlet, 0, n), inlet: newInlet(n),
		diag: make([]block, n), up: make([]block, len(s.up)), low: make([]block, len(s.up)), pressure: m.pressure, layers: len(m.names)}
	s.wet = w
	s.mass = append(append([]float64(nil), s.volume...), s.volume...)
	s.heat = make([]float64, 2*n)
	for i, c := range m.mesh.Cells {
		w.cells[i] = wetCell{law: m.laws[c.Layer], layer: int32(c.Layer), vents: m.vents[c.Layer]}
		w.cells[i].T = math.NaN()
	}
	for i, f := range m.mesh.Faces {
		a, b := m.mesh.Cells[f.A].Layer, m.mesh.Cells[f.B].Layer
		w.faces[i].same = a == b
		if film := m.films[a]; a != b && film < math.Inf(1) {
			w.faces[i].film, w.faces[i].area = 1/(film*f.Area), f.Area
		}
	}
	for i := range w.skins {
		w.skins[i] = newWetSkin(m, i, &s.surfaces[i])
	}
}

// evaluate finds the state of every cell.
func (w *wet) evaluate(x []float64) {
	u, water := x[:w.n], x[w.n:2*w.n]
	temp, k := w.sys.temp[:w.n], w.sys.k[:w.n]
	for i := range w.cells {
		c := &w.cells[i]
		c.law.Evaluate(u[i], water[i], &c.MoistCell)
		temp[i], k[i] = c.T, c.K
	}
	if r := w.sys.risen; r != nil {
		for i := range k {
			k[i] *= r.conduct[i]
		}
	}
}

// pass sets how readily a cell lets heat and water through; r is nil if none rises.
func (c *wetCell) pass(i int, r *risen, pressure float64) {
	c.resist = 1 / c.K
	c.resistT, c.resistW = c.KT*c.resist, c.KW*c.resist
	c.slow, c.liquidSlow, c.tight = c.Slow, c.LiquidSlow, c.Tight
	c.lean, c.leanT = c.FT*c.resist, c.FTT/c.FT-c.resistT
	if r != nil && r.ratio[i] != 1 {
		c.resist /= r.conduct[i]
		c.lean /= r.conduct[i]
		c.liquidSlow *= r.ratio[i]
		c.slow *= r.ratio[i] // the water is spread thinner: w/ratio over a length times ratio
		c.tight = 1 / (1/c.tight + r.open[i]*materials.AirPermeability(c.T, pressure))
	}
}

// stretch takes over the areas of a mesh that has risen.
func (w *wet) stretch(mesh *geometry.Mesh) {
	for i := range mesh.Faces {
		if f := &w.faces[i]; f.film > 0 {
			f.film *= f.area / mesh.Faces[i].Area
			f.area = mesh.Faces[i].Area
		}
	}
}

// assemble sums the heat [W] and water [kg/s] into each cell, with derivatives, from
// what evaluate found.
func (w *wet) assemble() {
	n := w.n
	heat, water := w.sys.heat[:n], w.sys.heat[n:2*n]
	diag, up, low := w.diag[:n], w.up[:len(w.faces)], w.low[:len(w.faces)]
	volume := w.sys.volume[:n]
	w.outs = w.outs[:0]
	for i := range w.cells {
		c := &w.cells[i]
		c.pass(i, w.sys.risen, w.pressure)
		heat[i], water[i], diag[i] = w.heat[i], w.water[i], block{}
		if c.P > c.vents || c.Juice > 0 {
			o := c.outlet(i, volume[i])
			w.outs = append(w.outs, o)
			heat[i] -= o.steam.heat + o.juice.heat
			water[i] -= o.steam.mass + o.juice.mass
			diag[i] = block{-o.steam.heatU - o.juice.heatU, -o.steam.heatW - o.juice.heatW,
				-o.steam.massU - o.juice.massU, -o.steam.massW - o.juice.massW}
		}
	}
	for i := range w.sys.faces {
		f := &w.sys.faces[i]
		a, b := f.a, f.b
		var x exchange
		if wf := &w.faces[i]; wf.same {
			x = flux(&w.cells[a], &w.cells[b], f)
		} else {
			x = across(&w.cells[a], &w.cells[b], f, wf)
		}
		heat[a] += x.heat
		heat[b] -= x.heat
		water[a] += x.mass
		water[b] -= x.mass
		ja, jb := x.byA, x.byB
		da := &diag[a]
		da.uu += ja.uu
		da.uw += ja.uw
		da.wu += ja.wu
		da.ww += ja.ww
		db := &diag[b]
		db.uu -= jb.uu
		db.uw -= jb.uw
		db.wu -= jb.wu
		db.ww -= jb.ww
		up[i] = jb
		low[i] = block{-ja.uu, -ja.uw, -ja.wu, -ja.ww}
	}
	for i := range w.skins {
		s := &w.skins[i]
		c := s.surface.Cell
		s.solve(&w.cells[c], w.pressure)
		heat[c] += s.heat
		water[c] -= s.mass
		d := &diag[c]
		d.uu += s.slope.uu
		d.uw += s.slope.uw
		d.wu -= s.slope.wu
		d.ww -= s.slope.ww
	}
}

// outlet is the steam that a cell lets go, and the juice.
func (c *wetCell) outlet(i int, volume float64) outlet {
	o := outlet{cell: i}
	if over := c.P - c.vents; over > 0 {
		g := steamRelease * volume
		o.steam.set(c, g*over, g*c.PT, g*c.PW, c.Vapour, vapourHeat)
	}
	if c.Juice > 0 {
		o.juice.set(c, volume*c.Juice, volume*c.JT, volume*c.JW, c.Liquid, liquidHeat)
	}
	return o
}

// Specific heats [J/(kg K)] for derivatives only: they steer Newton's iteration and
// leave its result alone.
const (
	liquidHeat = 4200.0
	vapourHeat = 1700.0
)

// set takes a mass flow with its slopes by temperature and water, and the enthalpy
// of what flows with its specific heat.
func (s *sink) set(c *wetCell, mass, massT, massW, enthalpy, heat float64) {
	s.mass, s.massU, s.massW = mass, massT*c.TU, massW+massT*c.TW
	s.heat = mass * enthalpy
	s.heatU = s.massU*enthalpy + mass*heat*c.TU
	s.heatW = s.massW*enthalpy + mass*heat*c.TW
}

// exchange is what passes a face into its inner cell A, with the derivatives by the
// unknowns of both cells.
type exchange struct {
	heat, mass float64
	byA, byB   block
}

// conduction is the heat q [W] conducted through a face into its inner cell A, with
// derivatives by temperature (t) and water (w) of both cells.
type conduction struct {
	g, ra, rb      float64 // of the face and its halves: [W/K], [K/W], or by the flux potential [m], [1/m]
	q              float64
	ta, tb, wa, wb float64
}

// conduct is conduction by temperature, from one food to another. It and conductWithin are
// written out: what serves both takes eleven numbers and 4 % of a run.
func conduct(a, b *wetCell, f *face) (k conduction) {
	k.ra, k.rb = f.halfA*a.resist, f.halfB*b.resist
	k.g = 1 / (k.ra + k.rb + f.contact)
	k.q = k.g * (b.T - a.T)
	k.ta = k.g * (k.q*k.ra*a.resistT - 1)
	k.tb = k.g * (k.q*k.rb*b.resistT + 1)
	k.wa = k.g * k.q * k.ra * a.resistW
	k.wb = k.g * k.q * k.rb * b.resistW
	return k
}

// conductWithin is conduct within one food: by the flux potential, as the conductivity may
// change threefold between two cells of which one is frozen; each half is corrected for
// the water that its cell has more or less than the original food.
func conductWithin(a, b *wetCell, f *face) (k conduction) {
	k.ra, k.rb = f.halfA*a.lean, f.halfB*b.lean
	k.g = 1 / (k.ra + k.rb)
	k.q = k.g * (b.F - a.F)
	k.ta = -k.g * (k.q*k.ra*a.leanT + a.FT)
	k.tb = k.g * (b.FT - k.q*k.rb*b.leanT)
	k.wa = k.g * k.q * k.ra * a.resistW
	k.wb = k.g * k.q * k.rb * b.resistW
	return k
}

// flux is the heat and water through a face within a food into a. Vapour goes by its
// pressure, liquid by water content, which is exact for a constant diffusivity. What
// flows has the mean of both cells' enthalpy.
func flux(a, b *wetCell, f *face) exchange {
	k := conductWithin(a, b, f)
	var ml, mlTa, mlTb, mlWa, mlWb float64
	gv := 1 / (f.halfA*a.tight + f.halfB*b.tight)
	mv := gv * (b.P - a.P)
	if a.slow+b.slow < phasechange.Impassable {
		sa, sb := f.halfA*a.slow, f.halfB*b.slow
		gl := 1 / (sa + sb)
		ml = gl * (b.W - a.W)
		xa, xb := gl*sa*ml, gl*sb*ml
		mlTa, mlTb = xa*a.DT, xb*b.DT
		mlWa, mlWb = xa*a.DW-gl, xb*b.DW+gl
	}
	hv, hl := (a.Vapour+b.Vapour)/2, (a.Liquid+b.Liquid)/2
	mvTa, mvTb, mvWa, mvWb := -gv*a.PT, gv*b.PT, -gv*a.PW, gv*b.PW
	carried := (mv*vapourHeat + ml*liquidHeat) / 2
	x := exchange{heat: k.q + mv*hv + ml*hl, mass: mv + ml}
	x.byA = chain(k.ta+mvTa*hv+mlTa*hl+carried, k.wa+mvWa*hv+mlWa*hl, mvTa+mlTa, mvWa+mlWa, a)
	x.byB = chain(k.tb+mvTb*hv+mlTb*hl+carried, k.wb+mvWb*hv+mlWb*hl, mvTb+mlTb, mvWb+mlWb, b)
	return x
}

// fullness is the share of its water by which muscle may be above what its protein
// holds before it takes up no more from another layer. Without that it would draw
// back through its activity what it has just let go.
const fullness = 0.02

// takes is the share of the liquid offered that a cell takes up.
func (c *wetCell) takes() float64 {
	if c.Juice <= 0 {
		return 1
	}
	r := max(0, 1-c.Excess/(fullness*c.W))
	return r * r // a kink would send Newton's method to and fro
}

// chain turns derivatives by temperature and water into those by energy and water.
func chain(heatT, heatW, massT, massW float64, c *wetCell) block {
	return block{heatT * c.TU, heatW + heatT*c.TW, massT * c.TU, massW + massT*c.TW}
}
