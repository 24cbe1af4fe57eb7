// Package safety judges temperature histories: how many germs of a named kind
// they kill, how much others may have grown, and whether the time and temperature
// rules of published food codes are met.
//
// A [History] is the temperature of one place. Give one for each cell of the part
// judged: the coldest place decides a cooking rule, the slowest a cooling rule,
// and [Check] finds it. [Facts] say what food it is and how it was handled:
//
//	findings, err := safety.Check(histories, facts, safety.MustFind("food-code-roast-time"))
//
// Runs of package thermal give histories with [LayerHistories], [DishHistories] and
// [PlaceHistory], also along a chain.
//
// A [Rule] is data: its number, title and year, which foods it is for, and what it
// asks, each a [Criterion]. [Rules] lists the published ones, [RulesOf] those of a
// step, old editions among them; rules of a country or a kitchen are built from the
// same criteria.
//
// # Verdicts
//
// [Pass] and [Fail] come with a margin. Whatever is not known, be it the kind of
// food or what happened before the history begins, gives [CannotTell], never
// Pass. A rule that is for other foods gives [NotApplicable], which is no Pass
// either. A table of a code is read as it stands: a row is met by being at or above
// its temperature, without a break, for its time. Between two rows the time of the
// colder one is asked for.
//
// A rule sees the history it is given. Holding and thawing rules speak of one
// part of a chain: cut it out with [History.Between]. Cooling rules find the
// cooling in a longer history; [Join] puts measured parts together. Food of
// several layers is judged layer by layer, each with its own facts.
//
// # Germs
//
// [Inactivation] is a decimal reduction time D with its z: log reductions are the
// closed integral of 10^((T-Tref)/z)/D over straight pieces. Nothing is counted
// below the temperatures a set was measured at, and what is above counts as at
// their upper end. Where a set has several measured points, D is raised until its
// line lies on or over all of them. [Growth] is a rate over temperature; its
// estimate allows for no lag, so it is meant to be too high, and is by powers of ten
// for food that is cooled fast.
//
// Germs die more slowly in fat, dry or salty food than in the moist food the sets
// were measured in. Spores and some toxins outlive every temperature here.
//
// # Caution
//
// See [Caution]; it stands in every finding.
package safety

// Caution belongs beside every statement of this package, and is in every
// [Finding].
const Caution = "A computed history is no proof of safety. Local food codes and licensed practice decide; " +
	"a temperature measured at the coldest place counts."
