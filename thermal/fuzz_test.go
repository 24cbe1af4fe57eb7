package thermal

import (
	"context"
	"encoding/binary"
	"encoding/json"
	"errors"
	"io"
	"math"
	"runtime/debug"
	"testing"
	"time"

	"example.com/thawfront/geometry"
	"example.com/thawfront/materials"
	"example.com/thawfront/phasechange"
)

// bytesReader hands out values from a fuzzer's bytes; zeros when they run out.
type bytesReader struct{ data []byte }

func (b *bytesReader) byte() byte {
	if len(b.data) == 0 {
		return 0
	}
	v := b.data[0]
	b.data = b.data[1:]
	return v
}

func (b *bytesReader) below(n int) int { return int(b.byte()) % n }

func (b *bytesReader) uint64() uint64 {
	var raw [8]byte
	for i := range raw {
		raw[i] = b.byte()
	}
	return binary.LittleEndian.Uint64(raw[:])
}

// float is one in lo..hi, or sometimes any float64 at all.
func (b *bytesReader) float(lo, hi float64) float64 {
	switch k := b.byte(); {
	case k < 4:
		return []float64{notNumber, infinite, -infinite, 0}[k]
	case k < 10:
		return math.Float64frombits(b.uint64())
	case k < 14:
		return []float64{lo, hi, -lo, 2*hi - lo}[k-10]
	default:
		return lo + (hi-lo)*float64(binary.LittleEndian.Uint16([]byte{b.byte(), b.byte()}))/math.MaxUint16
	}
}

func (b *bytesReader) duration(longest time.Duration) time.Duration {
	switch k := b.byte(); {
	case k < 6:
		return []time.Duration{0, 1, -1, math.MaxInt64, math.MinInt64, 101}[k]
	case k >= 250:
		return time.Duration(k)
	case k < 9:
		return time.Duration(b.uint64())
	default:
		return time.Duration(float64(longest) * float64(binary.LittleEndian.Uint16([]byte{b.byte(), b.byte()})) / math.MaxUint16)
	}
}

func (b *bytesReader) name() string {
	k := b.byte()
	if k > 40 {
		return string(rune('a' + k%4))
	}
	return []string{"", "a", "\xff\x00\n", "crust", `"`}[k%5]
}

var fuzzFoods = func() []materials.Food {
	var out []materials.Food
	for _, name := range []string{"lamb loin, cooked", "puff pastry, raw", "lard", "spinach, cooked", "brioche, baked", "honey", "vanilla ice cream"} {
		if f, err := materials.Find(name); err == nil {
			out = append(out, f)
		}
	}
	return out
}()

func (b *bytesReader) food() materials.Food {
	k := b.byte()
	f := fuzzFoods[int(k)%len(fuzzFoods)]
	switch {
	case k < 200:
	case k < 215:
		f.Composition = materials.Composition{Water: b.float(0, 1), Protein: b.float(0, 0.3), Fat: b.float(0, 0.3), Carbohydrate: b.float(0, 0.3),
			Fibre: b.float(0, 0.1), Ash: b.float(0, 0.05), Salt: b.float(0, 0.05), Sugar: b.float(0, 0.3)}
		if c, err := f.Composition.Normalize(); err == nil && b.byte() < 230 {
			f.Composition = c
		}
		f.FreezingPoint = 0
	case k < 225:
		f.FreezingPoint = b.float(-20, 0)
	case k < 235:
		f.Porosity, f.Structure, f.FatKind = b.float(0, 0.97), materials.Structure(b.below(8)), materials.FatKind(b.below(8))
	case k < 245:
		bound := b.float(0, 0.4)
		f.BoundWater = &bound
	default:
		var points []materials.Point
		t, e := b.float(-40, -20), 0.0
		for range b.below(5) {
			points = append(points, materials.Point{T: t, Enthalpy: e, Conductivity: b.float(0.01, 2)})
			t, e = t+b.float(1, 100), e+b.float(1e3, 4e5)
		}
		f.Measured = &materials.Measured{Density: b.float(100, 2000), Points: points}
	}
	return f
}

func (b *bytesReader) shape() geometry.Shape {
	switch b.below(6) {
	case 0:
		return geometry.Slab{Area: b.float(0, 2)}
	case 1:
		return geometry.HalfSlab{}
	case 2:
		return geometry.Sphere{}
	case 3:
		return geometry.Cylinder{Length: b.float(0, 2)}
	case 4:
		return geometry.Slab{}
	}
	if b.byte() == 7 {
		return nil
	}
	return geometry.Cylinder{}
}

func (b *bytesReader) start(earlier *Run) Start {
	switch b.below(6) {
	case 0:
		t := make([]float64, b.below(4))
		for i := range t {
			t[i] = b.float(-40, 90)
		}
		return ByLayer(t...)
	case 1:
		edge, in, out := b.float(0, 0.03), b.float(-40, 90), b.float(-40, 90)
		return Profile(func(x float64) float64 {
			if x < edge {
				return in
			}
			return out
		})
	case 2:
		c := From(earlier)
		for range b.below(3) {
			c = c.With(b.name(), b.float(-40, 90))
		}
		return c
	case 3:
		if b.byte() == 3 {
			return nil
		}
	}
	return Uniform(b.float(-40, 90))
}

func (b *bytesReader) dish(earlier *Run) Dish {
	d := Dish{Shape: b.shape()}
	for range b.below(5) {
		l := Layer{Name: b.name(), Food: b.food(), Thickness: b.float(5e-4, 0.02)}
		if b.byte() < 60 {
			l.Contact, l.Cells = b.float(0, 0.1), b.below(9)-1
		}
		d.Layers = append(d.Layers, l)
	}
	d.Start = b.start(earlier)
	return d
}

func (b *bytesReader) surroundings() Surroundings {
	s := Surroundings{Fluid: b.float(-40, 250), H: b.float(0, 500)}
	if b.byte() < 80 {
		s.Walls, s.Emissivity = b.float(-40, 250), b.float(0, 1)
	}
	return s
}

func (b *bytesReader) medium() Medium {
	switch b.below(6) {
	case 0:
		switch b.byte() % 32 {
		case 3:
			return nil
		case 4:
			return MediumFunc(nil)
		case 5:
			return Changing(nil, time.Second)
		}
		return Insulated()
	case 1:
		change, first, then := b.duration(5*time.Minute), b.surroundings(), b.surroundings()
		f := MediumFunc(func(t time.Duration) Surroundings {
			if t < change {
				return first
			}
			return then
		})
		if b.byte() < 128 {
			return Changing(f, change, b.duration(5*time.Minute))
		}
		return f
	}
	return b.surroundings()
}

func (b *bytesReader) place() Place {
	switch b.below(7) {
	case 0:
		return Centre()
	case 1:
		return Skin()
	case 2:
		return Depth(b.float(0, 0.02))
	case 3:
		return Within(b.name(), b.float(0, 1))
	case 4:
		return ColdestOf(b.name())
	case 5:
		return HottestOf(b.name())
	}
	return MeanOf(b.name())
}

func (b *bytesReader) condition(deep int) Condition {
	switch k := b.below(12); {
	case k == 0 && b.byte()%16 == 9:
		return nil
	case k == 1:
		return Above(b.place(), b.float(-40, 200))
	case k == 2:
		return Below(b.place(), b.float(-40, 200))
	case k == 3:
		return IceGone()
	case k == 4:
		return Frozen(b.float(0, 1))
	case k == 5:
		at, scale := b.float(0, 300), b.float(-1, 1)
		return When("fuzz", func(s *State) float64 { return scale * (s.StageTime().Seconds() - at) })
	case (k == 6 || k == 7) && deep > 0:
		c := make([]Condition, b.below(4))
		for i := range c {
			c[i] = b.condition(deep - 1)
		}
		if k == 6 {
			return Any(c...)
		}
		return All(c...)
	}
	return Elapsed(b.duration(5 * time.Minute))
}

func (b *bytesReader) schedule() Schedule {
	var s Schedule
	for range b.below(4) {
		st := Stage{Name: b.name(), Medium: b.medium(), Until: b.condition(2)}
		switch k := b.byte(); {
		case k < 40:
			st.Patches = map[geometry.Patch]Medium{[]geometry.Patch{geometry.Underside, geometry.Top, geometry.Side, "x"}[b.below(4)]: b.medium()}
		case k < 200:
			st.Limit = b.duration(10 * time.Minute)
		}
		s = append(s, st)
	}
	return s
}

func (b *bytesReader) settings() *Settings {
	if b.byte() < 20 {
		return &Settings{Cells: b.below(70), Grading: geometry.Grading(b.below(3)), Tolerance: b.float(0.01, 1), IceCurve: phasechange.IceCurve(b.below(5)),
			Pressure: b.float(2e4, 2e5), MaxSteps: 500, Watch: []Condition{b.condition(1)}}
	}
	return &Settings{Cells: 6 + b.below(12), MaxSteps: 2000, IceCurve: phasechange.IceCurve(b.below(4)), Watch: []Condition{Above(Centre(), b.float(-40, 100))}}
}

// mustBeSound checks what a simulation gave, whatever it was asked.
func mustBeSound(t *testing.T, run *Run, err error) {
	t.Helper()
	if run == nil {
		if err == nil {
			t.Fatal("neither run nor error")
		}
		for _, leaf := range leaves(err) {
			if _, ok := errors.AsType[*InputError](leaf); !ok {
				t.Fatalf("%T without a run: %v", leaf, leaf)
			}
			if leaf.Error() == "" {
				t.Fatal("an error says nothing")
			}
		}
		return
	}
	if err != nil {
		_, limit := errors.AsType[*StageLimitError](err)
		_, solver := errors.AsType[*SolverError](err)
		_, input := errors.AsType[*InputError](err) // a medium that turned bad
		if !limit && !solver && !input {
			t.Fatalf("%T with a run: %v", err, err)
		}
		if s, ok := errors.AsType[*SolverError](err); ok && s.Reason == "fine" {
			t.Fatalf("an error without a reason: %v", err)
		}
	}
	if !(run.Energy.Relative <= 1e-8) || !(run.Water.Relative <= 1e-10) {
		t.Fatalf("audit %+v %+v after %v, %v", run.Energy, run.Water, err, run.Stats)
	}
	var clock time.Duration
	for i, s := range run.Stages {
		if s.Start != clock || s.End < s.Start {
			t.Fatalf("stage %d from %v to %v after %v", i, s.Start, s.End, clock)
		}
		clock = s.End
	}
	if clock != run.Duration() {
		t.Fatalf("stages end at %v, run at %v", clock, run.Duration())
	}
	last := time.Duration(0)
	for _, e := range run.Events {
		if e.Time < last || e.Time > run.Duration() {
			t.Fatalf("event %+v after %v in a run of %v", e, last, run.Duration())
		}
		last = e.Time
	}
	for _, at := range []time.Duration{0, clock / 3, clock} {
		for i, c := range run.At(at).Cells() {
			if c.Temperature != c.Temperature || math.IsInf(c.Temperature, 0) || !(c.Water >= 0 && c.Ice >= 0 && c.Ice <= c.Water*(1+1e-12)) {
				t.Fatalf("cell %d at %v: %+v", i, at, c)
			}
		}
		if s, _ := run.At(at).Temperature(Skin()); s != s {
			t.Fatalf("skin at %v is NaN", at)
		}
	}
	if _, err := json.Marshal(run); err != nil {
		t.Fatal(err)
	}
	if err := run.WriteCSV(io.Discard, max(clock/3, 1)); err != nil {
		t.Fatal(err)
	}
	run.Extremes()
}

// noPanic turns a panic into a failure, so that the tests after it run too.
func noPanic(t *testing.T) {
	if p := recover(); p != nil {
		t.Fatalf("panic: %v\n%s", p, debug.Stack())
	}
}

func seedCorpus(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("00200090y280X090AA0000000")) // a remeshed frozen layer under the curve Tchigeov: NaN
	for k := range 60 {                        // arbitrary but lasting bytes: a multiplicative generator
		data := make([]byte, 300)
		x := uint32(k + 1)
		for i := range data {
			x = x*1664525 + 1013904223 // Numerical Recipes' constants, from memory
			data[i] = byte(x >> 24)
			if k%3 > 0 && data[i] < 14 {
				data[i] += 100 // fewer of the absurd values
			}
		}
		f.Add(data)
	}
}

// FuzzDish builds any dish at all and bakes it shortly.
func FuzzDish(f *testing.F) {
	earlier := earlierRun(f, 2)
	seedCorpus(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		defer noPanic(t)
		b := &bytesReader{data}
		set := b.settings()
		d := b.dish(earlier)
		run, err := Simulate(context.Background(), d, Schedule{
			{Medium: Surroundings{Fluid: b.float(-40, 250), H: 100}, Until: Elapsed(3 * time.Minute)},
			{Medium: BlastFreezer(-30), Until: Elapsed(2 * time.Minute)}}, set)
		mustBeSound(t, run, err)
		if run == nil || len(d.Layers) == 0 {
			return
		}
		// and on from there, with a coat
		d.Layers = append(append([]Layer(nil), d.Layers...), Layer{Name: "coat", Food: fuzzFoods[0], Thickness: 0.002})
		d.Start = From(run).With("coat", b.float(0, 60))
		run, err = Simulate(context.Background(), d, Schedule{{Medium: Room(20), Until: Elapsed(time.Minute)}}, set)
		mustBeSound(t, run, err)
	})
}

// FuzzSchedule bakes a small dish by any schedule at all.
func FuzzSchedule(f *testing.F) {
	seedCorpus(f)
	d := Dish{Shape: geometry.Cylinder{}, Layers: []Layer{
		{Name: "a", Food: materials.MustFind("lamb loin, cooked"), Thickness: 0.01, Cells: 6},
		{Name: "d", Food: materials.MustFind("spinach, cooked"), Thickness: 0.002, Cells: 3},
		{Name: "b", Food: materials.MustFind("puff pastry, raw"), Thickness: 0.003, Cells: 6}}}
	f.Fuzz(func(t *testing.T, data []byte) {
		defer noPanic(t)
		b := &bytesReader{data}
		d := d
		d.Start = ByLayer(b.float(-40, 90), b.float(-40, 90), b.float(-40, 90))
		if b.byte() < 80 {
			d.Shape = geometry.Slab{}
		}
		s := b.schedule()
		run, err := Simulate(context.Background(), d, s, b.settings())
		mustBeSound(t, run, err)
	})
}
