// Package verdict says in one call what a cook wants to know of a run: what
// happened when, how the dish came out, which wishes it meets and which it misses,
// what the food codes say, and what to change first.
//
//	report, err := verdict.Judge(verdict.Case{
//		Runs:   []*thermal.Run{run},
//		Wishes: []verdict.Wish{verdict.Served{Place: thermal.Centre(), From: 48, To: 56}},
//		Parts:  []verdict.Part{{Layer: "lamb", Facts: facts, Rules: rules}},
//	})
//	fmt.Print(report.Text())
//
// A [Report] is plain data that goes through JSON and back; [Report.Text] puts it
// into words.
//
// # Verdicts
//
// What is wished for is [Pass] or [Fail] with its value and its margin. What the
// run does not know is [CannotTell]: a crust's crispness where water stood still, a
// run that broke off. Wishes and safety have a verdict each, which are never mixed;
// safety cannot tell as long as a layer has no facts and no rules.
//
// # What to change first
//
// Every wish that is missed and every rule that fails gives at most one [Change]
// and ways around it. They come in this order: a stage that met its limit; safety;
// food that is too cold or not done; food that is overcooked; the crust; juice and
// weight; time. A dish that is not cooked is not made better by a crisp crust. The
// rules of thumb are our own, and each says from which numbers it follows:
//
//   - Too cold at the end: the last stage that is warm enough goes on for what is
//     missing over the rise of temperature in its last tenth; if that is more than as
//     long again, no time is given.
//   - Ice left: the last stage that melts goes on for the ice over the rate at which it
//     melted in its last tenth.
//   - Too hot at the end: the last stage ends when the place passed the middle of
//     what is wished, if it did.
//   - Overcooked rim: if the layer's outside was still getting hotter when its
//     hottest stage ended, that stage is too hot. In a slow stage the rise of the
//     rim over the centre goes as that of the medium over the centre, so the medium
//     comes down by the excess, times that ratio. If the stage is there for the crust,
//     over 120 °C, or the outside was hottest early in a stage, from heat of the stage
//     before that was on its way, the hot one is too long by the excess over the
//     rise of temperature in its last tenth. Ways around it are to start frozen, as
//     melting ice takes up as much heat as warming its water by 80 K, and thicker layers
//     around the part.
//   - Crust not crisp: if it was crisp at the end of an earlier stage, it has
//     softened since and the wait is the fault; else the hottest stage goes on for what
//     is missing over the rate at which crust became crisp in its last tenth, or for half
//     its length if none did. A fat film helps where water of the inside went down and
//     none is there.
//   - Colour: the hottest stage is longer or shorter by what is lacking or too much in
//     the integral of the browning rate, over that rate at its end. A surface that
//     never came to 120 °C needs a hotter stage.
//   - Dough inside: the hottest stage goes on until the least heated dough has 90 °C,
//     by its rise at the end.
//   - Weight and juice: what drips was squeezed out by heat, what evaporates goes into
//     hot dry air for as long as it lasts.
//   - Time: heating goes as the square of the thickness.
//
// They are first guesses to try in the next run. Tried in the dishes of the tests, they
// leave from nothing to two fifths of what was missed, and may go too far. Two of them
// may pull against each other: change one thing, simulate, judge again.
//
// # Caution
//
// See [safety.Caution]; it stands in every report.
package verdict
