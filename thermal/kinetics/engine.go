package kinetics

import "example.com/thawfront/thermal"

// engine moves integrals on through the steps of a run. Nothing in step
// allocates.
type engine struct {
	blocks *blocks     // of the laws that have a rate of the temperature; nil if none has
	own    []*integral // of the OwnLaws
	wet    []*integral // of the WaterRates
}

func newEngine(integrals ...*integral) *engine {
	e := &engine{}
	var rated []*integral
	for _, t := range integrals {
		switch t.rate.(type) {
		case nil:
			e.own = append(e.own, t)
		case WaterRate:
			e.wet = append(e.wet, t)
		default:
			rated = append(rated, t)
		}
	}
	if rated != nil {
		e.blocks = newBlocks(len(rated[0].extent), rated)
	}
	return e
}

// step moves all integrals on by one step of the solver. Extents are up to date
// only after flush.
func (e *engine) step(v *thermal.Interval) error {
	for _, t := range e.own {
		if err := t.stepOwn(v); err != nil {
			return err
		}
	}
	for _, t := range e.wet {
		if err := t.stepWater(v); err != nil {
			return err
		}
	}
	if e.blocks == nil {
		return nil
	}
	return e.blocks.step(v)
}

// flush brings all extents up to date.
func (e *engine) flush() error {
	if e.blocks == nil {
		return nil
	}
	return e.blocks.flush()
}
