package dishfile

import (
	"fmt"
	"slices"

	"example.com/thawfront/thermal"
)

// Link is the part of a chain between two changes of the layers: one run.
type Link struct {
	// Dish has a Start of its own in the first link; each later one begins as the run
	// before it ended, see thermal.From, with the layers that join it at Joins. Times in a
	// Rise are those since its layer was put on. Ovens and baths of the Schedule begin as
	// in the file in each link; File.Simulate has them go on from run to run.
	Dish     thermal.Dish
	Joins    map[string]float64 // [°C] at which layers join, by name
	Stages   []int              // of the file, from 0
	Schedule thermal.Schedule
	Settings thermal.Settings
}

// Chain gives the parts of the file between changes of its layers, one if there are none.
// The error is that of Check.
func (f *File) Chain() ([]Link, error) {
	if err := f.Check(); err != nil {
		return nil, err
	}
	return f.links(), nil
}

// links is the chain of a file that is right in itself.
func (f *File) links() (out []Link) {
	layers, starts := f.layers()
	stages, settings, spans := f.schedule(f.plants(), f.Stages), f.settings(), f.spans()
	var before []int
	for i := range f.Stages {
		on := spans.on(i)
		if i > 0 && slices.Equal(on, before) {
			last := &out[len(out)-1]
			last.Stages, last.Schedule = append(last.Stages, i), append(last.Schedule, stages[i])
			continue
		}
		link := Link{Dish: thermal.Dish{Shape: f.shape(on)}, Joins: map[string]float64{}, Stages: []int{i}, Schedule: thermal.Schedule{stages[i]}, Settings: settings}
		var begin []float64
		for _, l := range on {
			link.Dish.Layers = append(link.Dish.Layers, layers[l])
			begin = append(begin, starts[l])
			if i > 0 && !slices.Contains(before, l) {
				link.Joins[layers[l].Name] = starts[l]
			}
		}
		if i == 0 {
			link.Dish.Start = thermal.ByLayer(begin...)
		}
		if f.Settings != nil {
			for j := range f.Settings.Watch {
				if c := &f.Settings.Watch[j]; f.astray(c, on) == "" {
					link.Settings.Watch = append(link.Settings.Watch, c.build())
				}
			}
		}
		out, before = append(out, link), on
	}
	return out
}

// astray says which place of a condition is not in the dish that the layers on make up;
// empty if all are.
func (f *File) astray(c *Condition, on []int) string {
	_, name, _ := c.At.parse()
	if name != "" && !slices.ContainsFunc(on, func(l int) bool { return f.Layers[l].called() == name }) {
		return fmt.Sprintf("layer %s is not on the dish", quote(name))
	}
	if x, ok := c.At.depth(); ok {
		if thick := f.thickness(on); x > thick*(1+1e-9) {
			return fmt.Sprintf("%s is deeper than the %.4g mm of the dish", quote(string(c.At)), thick*1e3)
		}
	}
	if x, y, ok := c.At.point(); ok && f.plane() && !f.holds(x, y, on) {
		return fmt.Sprintf("%s is not in the dish", quote(string(c.At)))
	}
	for _, of := range [][]Condition{c.Any, c.All} {
		for i := range of {
			if problem := f.astray(&of[i], on); problem != "" {
				return problem
			}
		}
	}
	return ""
}

// spans holds from which stage until before which each layer is on.
type spans [][2]int

func (f *File) spans() spans {
	out := make(spans, len(f.Layers))
	for i := range f.Layers {
		l := &f.Layers[i]
		out[i] = [2]int{0, len(f.Stages)}
		if l.Joins != "" {
			out[i][0] = f.stageCalled(l.Joins)
		}
		if l.Leaves != "" {
			out[i][1] = f.stageCalled(l.Leaves)
		}
	}
	return out
}

// on lists the layers that are on in a stage.
func (s spans) on(stage int) (out []int) {
	for i, x := range s {
		if stage >= x[0] && stage < x[1] {
			out = append(out, i)
		}
	}
	return out
}

// stageCalled is the first stage of a name, or -1.
func (f *File) stageCalled(name string) int {
	return slices.IndexFunc(f.Stages, func(s Stage) bool { return s.Name == name })
}
