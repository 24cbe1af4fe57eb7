package quality

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func ptr(v float64) *float64 { return &v }

func TestScoreByHand(t *testing.T) {
	s, err := Score(
		Term{Name: "pink", Value: ptr(0.85), Low: 0.9, High: 1, Fade: 0.2, Weight: 3},                  // 0.05 outside: 0.75
		Term{Name: "rim", Value: ptr(0.001), Low: math.Inf(-1), High: 0.002, Fade: 0.005, Weight: 1},   // 1
		Term{Name: "lightness", Value: ptr(80), Low: 60, High: 70, Fade: 5, Weight: 1},                 // 0
		Term{Name: "water kept", Value: ptr(0.7), Low: 0.8, High: math.Inf(1), Fade: 0.2, Weight: 0.5}) // 0.5
	require.NoError(t, err)
	assert.InDelta(t, (3*0.75+1+0+0.5*0.5)/5.5, *s.Value, 1e-12)
	for i, want := range []float64{0.75, 1, 0, 0.5} {
		assert.InDelta(t, want, *s.Parts[i].Value, 1e-12, s.Parts[i].Name)
	}
	assert.InDelta(t, 3/5.5, s.Parts[0].Weight, 1e-12)

	s, err = Score(Term{Name: "a", Value: ptr(1), High: 2, Fade: 1, Weight: 9}, Term{Name: "crisp", High: 1, Fade: 1, Weight: 1})
	require.NoError(t, err)
	assert.Nil(t, s.Value, "what is not known makes no score")
	assert.Nil(t, s.Parts[1].Value)
	assert.Equal(t, 1.0, *s.Parts[0].Value)
}

// A score is from 0 to 1 and never worse for a value that is nearer.
func TestScoreProperties(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 32))
	for range 300 {
		var terms []Term
		for range 1 + rng.IntN(6) {
			low := rng.NormFloat64()
			terms = append(terms, Term{Value: ptr(3 * rng.NormFloat64()), Low: low, High: low + rng.Float64(), Fade: 0.01 + rng.Float64(), Weight: 0.01 + rng.Float64()})
		}
		s, err := Score(terms...)
		require.NoError(t, err)
		require.True(t, *s.Value >= 0 && *s.Value <= 1)
		whole := 0.0
		for _, p := range s.Parts {
			whole += p.Weight
		}
		require.InDelta(t, 1, whole, 1e-12)
		nearer := *terms[0].Value + rng.Float64()*((terms[0].Low+terms[0].High)/2-*terms[0].Value)
		terms[0].Value = &nearer
		better, err := Score(terms...)
		require.NoError(t, err)
		require.GreaterOrEqual(t, *better.Value, *s.Value-1e-12)
	}
}

func FuzzScore(f *testing.F) {
	f.Add(0.5, 0.0, 1.0, 1.0, 1.0)
	f.Add(math.NaN(), math.Inf(-1), math.Inf(1), 1e-300, 1e6)
	f.Add(math.MaxFloat64, -math.MaxFloat64, math.MaxFloat64, 1e-300, 1e-300)
	f.Fuzz(func(t *testing.T, value, low, high, fade, weight float64) {
		s, err := Score(Term{Name: "x", Value: &value, Low: low, High: high, Fade: fade, Weight: weight})
		if err == nil && !(*s.Value >= 0 && *s.Value <= 1) {
			t.Fatal(*s.Value)
		}
	})
}

func TestScoreRefuses(t *testing.T) {
	good := Term{Name: "x", Value: ptr(1), Low: 0, High: 1, Fade: 1, Weight: 1}
	for want, change := range map[string]func(*Term){
		"value NaN":   func(x *Term) { x.Value = ptr(math.NaN()) },
		"low NaN":     func(x *Term) { x.Low = math.NaN() },
		"low +Inf":    func(x *Term) { x.Low = math.Inf(1) },
		"high -1":     func(x *Term) { x.High = -1 },
		"high -Inf":   func(x *Term) { x.Low, x.High = math.Inf(-1), math.Inf(-1) },
		"fade 0":      func(x *Term) { x.Fade = 0 },
		"fade +Inf":   func(x *Term) { x.Fade = math.Inf(1) },
		"weight 0":    func(x *Term) { x.Weight = 0 },
		"weight +Inf": func(x *Term) { x.Weight = math.Inf(1) },
	} {
		bad := good
		change(&bad)
		_, err := Score(good, bad)
		inputError(t, err, want)
	}
	_, err := Score()
	inputError(t, err, "number of terms 0")
}
