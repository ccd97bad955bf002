package quantity

// metals are the bases that count a coagulant's metal: which, how much of the basis is
// metal (standard atomic weights, IUPAC 2021, from memory), and the equivalents of acid
// that a mole of it frees as it turns to hydroxide.
var metals = map[Basis]struct {
	metal             string
	share, equivalent float64
}{
	AsAl: {"Al", 1, 3}, AsAl2O3: {"Al", 2 * 26.982 / 101.961, 3}, AsAlum0: {"Al", 2 * 26.982 / 342.14, 3},
	AsAlum14: {"Al", 2 * 26.982 / 594.36, 3}, AsAlum18: {"Al", 2 * 26.982 / 666.42, 3},
	AsDryAlum: {"Al", 0.17 * 2 * 26.982 / 101.961, 3},
	AsFe:      {"Fe", 1, 3}, AsFe2O3: {"Fe", 2 * 55.845 / 159.687, 3}, AsFeCl3: {"Fe", 55.845 / 162.2, 3},
	AsFeCl3x6: {"Fe", 55.845 / 270.29, 3}, AsFe2SO43: {"Fe", 2 * 55.845 / 399.86, 3}, AsFeSO4x7: {"Fe", 55.845 / 278.01, 2},
}

// AtomicMass holds the standard atomic weights of the elements by symbol, g/mol (IUPAC
// 2021, abridged, from memory).
var AtomicMass = map[string]float64{
	"H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "Na": 22.990, "Mg": 24.305,
	"Al": 26.982, "S": 32.06, "Cl": 35.45, "K": 39.098, "Ca": 40.078, "Fe": 55.845,
}

// Metal gives the symbol of the metal that a basis tells of, "" for others.
func (b Basis) Metal() string { return metals[b].metal }

// As gives how much of another basis one unit of this one is, through the metal that
// both count; false where they count different things or one is not known.
func (b Basis) As(other Basis) (float64, bool) {
	if b == other {
		return 1, b != NotStated
	}
	from, ok := metals[b]
	to, has := metals[other]
	return from.share / to.share, ok && has && from.metal == to.metal
}

// AcidPer is the alkalinity, in mg/L as CaCO3, that one mg/L on this basis uses up as
// its metal turns to hydroxide: 0.505 for alum 14-hydrate, 0.926 for FeCl3. What a
// product has of its own base (polyaluminium chloride) is not counted off. False for
// a basis that does not tell the metal.
func (b Basis) AcidPer() (float64, bool) {
	m, ok := metals[b]
	if !ok {
		return 0, false
	}
	return m.share / AtomicMass[m.metal] * m.equivalent * CaCO3PerEquivalent, true
}
