package safety

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Times in minutes; the rule is 57 to 21 °C in 2 h, 57 to 5 °C in 6 h.
func TestCooling(t *testing.T) {
	fast := []float64{0, 57, 110, 21, 350, 5}
	tests := []struct {
		name   string
		h      History
		want   Verdict
		margin float64 // [min]
		at     float64 // [min]
	}{
		{"just in time", path(0, 57, 120, 21, 360, 5), Pass, 0, 120},
		{"early", path(fast...), Pass, 10, 110},
		{"the second step is the tighter", path(0, 57, 60, 21, 355, 5), Pass, 5, 355},
		{"hot before, the clock starts at 57", path(0, 90, 1000, 90, 1000, 57, 1110, 21, 1350, 5, 2000, 4), Pass, 10, 1110},
		{"first step late", path(0, 57, 130, 21, 350, 5), Fail, -10, 120},
		{"second step late", path(0, 57, 110, 21, 380, 5), Fail, -20, 360},
		{"never there, time over", path(0, 57, 110, 21, 400, 6), Fail, -40, 360},
		{"stays at 30 °C", path(0, 60, 60, 30, 500, 30), Fail, -374, 126},
		{"ends too soon", path(0, 57, 110, 21, 300, 6), CannotTell, 0, 0},
		{"ends within the first step", path(0, 57, 60, 40), CannotTell, 0, 0},
		{"still hot", path(0, 5, 60, 80), CannotTell, 0, 0},
		{"never warm", path(0, 3, 600, 4), CannotTell, 0, 0},
		{"one reading", path(0, 57), CannotTell, 0, 0},
		{"begins within the step", path(0, 50, 60, 21, 200, 5), CannotTell, 0, 0},
		{"begins within the step, too slow all the same", path(0, 50, 130, 21, 200, 5), Fail, -10, 120},
		{"begins warm, is cooked to 54, cools", path(0, 22, 60, 54, 120, 21, 200, 5), CannotTell, 0, 0},
		{"cooked to 54 °C only, the clock starts at the peak", path(0, 4, 100, 54, 200, 54, 300, 21, 500, 5), Pass, 20, 300},
		{"cooked to 54 °C only, late", path(0, 4, 100, 54, 200, 54, 330, 21, 500, 5), Fail, -10, 320},
		{"peak below, noise before it", path(0, 4, 100, 54, 150, 53.9, 200, 54, 300, 21, 500, 5), Pass, 20, 300},
		{"heated again in time", path(0, 80, 10, 57, 70, 40, 90, 70), CannotTell, 0, 0},
		{"heated again after 21 °C, in time", path(0, 57, 60, 21, 90, 70), CannotTell, 0, 0},
		{"heated again too late", path(0, 57, 150, 30, 180, 70), Fail, -50.25, 120},
		{"a dip, then cooled", path(0, 60, 10, 50, 20, 80, 43, 57, 153, 21, 393, 5), Pass, 10, 153},
		{"cooled, then warmed to 48 and cooled slowly", path(0, 57, 60, 21, 300, 3, 400, 48, 560, 21, 600, 5), Fail, -40, 520},
		{"cooled, then baked to 48 and served", path(0, 57, 110, 21, 350, 5, 400, 3, 500, 48), Pass, 10, 110},
		{"cooled, then baked to 80 and served", path(0, 57, 110, 21, 350, 5, 400, 3, 500, 80), Pass, 10, 110},
		{"cooled twice, the second late", path(0, 57, 110, 21, 350, 5, 400, 80, 410, 57, 540, 21, 700, 5), Fail, -10, 530},
		{"a jump through all", path(0, 80, 10, 80, 10, 3, 20, 3), Pass, 120, 10},
	}
	rule := MustFind("food-code-cooling")
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := check(t, rule, Facts{}, tt.h)
			assert.Equal(t, tt.want, got.Verdict, "%v", got)
			if tt.want == CannotTell {
				assert.Nil(t, got.Margin)
				return
			}
			if assert.NotNil(t, got.Margin, "%v", got) && assert.NotNil(t, got.Time) {
				assert.Equal(t, "s", got.Unit)
				assert.InDelta(t, tt.margin*60, *got.Margin, 60, "%v", got)
				assert.InDelta(t, tt.at*60, *got.Time, 60, "%v", got)
			}
		})
	}
}

// The second step of FSIS runs from the first's end.
func TestCoolingInSequence(t *testing.T) {
	rule := MustFind("fsis-cooling-1")
	f := Facts{Food: Roast}
	assert.Equal(t, Pass, check(t, rule, f, path(0, 54.4, 10, 26.7, 309, 4.4)).Verdict)
	late := check(t, rule, f, path(0, 54.4, 10, 26.7, 311, 4.4))
	assert.Equal(t, Fail, late.Verdict)
	assert.InDelta(t, -60, *late.Margin, 1e-6)
	assert.Equal(t, Fail, check(t, rule, f, path(0, 54.4, 91, 26.7, 300, 4.4)).Verdict)
	assert.Equal(t, NotApplicable, check(t, rule, Facts{Food: Plant}, path(0, 54.4, 10, 26.7, 309, 4.4)).Verdict)

	// Slower is allowed to cured food, to that alone.
	slow := path(0, 54.4, 299, 26.7, 890, 4.4)
	cured := MustFind("fsis-cooling-3")
	for answer, want := range map[Answer]Verdict{Unknown: CannotTell, Yes: Pass, No: NotApplicable} {
		assert.Equal(t, want, check(t, cured, Facts{Food: Roast, Cured: answer}, slow).Verdict)
	}
}

func TestStartOfChilling(t *testing.T) {
	rule := MustFind("fsis-cooling-2")
	h := path(0, 5, 60, 60, 120, 60, 200, 48.9, 250, 26.7, 500, 12.8)
	for _, tt := range []struct {
		end  *float64 // [s]
		want Verdict
	}{
		{nil, CannotTell}, {new(120 * 60.0), Pass}, {new(111 * 60.0), Pass}, {new(109 * 60.0), Fail}, {new(1e6), CannotTell}, {new(-5.0), CannotTell},
	} {
		got := check(t, rule, Facts{Food: GroundMeat, CookEnd: tt.end}, h)
		assert.Equal(t, tt.want, got.Verdict, "%v", got)
	}
	// More than an hour between 48.9 and 26.7 °C.
	got := check(t, rule, Facts{Food: GroundMeat, CookEnd: new(7200.0)}, path(0, 60, 120, 60, 200, 48.9, 265, 26.7, 500, 12.8))
	assert.Equal(t, Fail, got.Verdict)
	assert.InDelta(t, -300, *got.Margin, 1e-6)
}

// The slowest place decides, whichever it is.
func TestCoolingOfManyPlaces(t *testing.T) {
	rule := MustFind("food-code-cooling")
	skin, middle := path(0, 60, 30, 21, 60, 5, 400, 3), path(0, 60, 130, 21, 350, 4)
	skin.Place, middle.Place = "skin", "middle"
	got := check(t, rule, Facts{}, skin, middle)
	assert.Equal(t, Pass, got.Verdict)
	assert.Equal(t, "middle", got.Place)
	ends := path(0, 60, 30, 21, 60, 6)
	ends.Place = "ends"
	assert.Equal(t, CannotTell, check(t, rule, Facts{}, skin, ends, middle).Verdict)
	late := path(0, 60, 150, 21, 350, 4)
	late.Place = "late"
	got = check(t, rule, Facts{}, ends, late, skin)
	assert.Equal(t, Fail, got.Verdict)
	assert.Equal(t, "late", got.Place)
	fallen := 150 * 3.0 / 39 // [min] when it passed 57 °C
	assert.InDelta(t, 60*(fallen+120), *got.Time, 1e-6, "%v", got)
	assert.InDelta(t, 60*(120-(150-fallen)), *got.Margin, 1e-6, "%v", got)
}
