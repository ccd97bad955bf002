package sheet

// roleNames say a role in a message.
var roleNames = [...]string{
	asIgnored: "left out", asJar: "jar label", asTest: "name of the test", asChemical: "name of the chemical", asReplicate: "number of the repeat",
	asNote: "remark", asDose: "dose", asStock: "volume of stock", asReading: "reading", asSetting: "setting", asBefore: "water before treatment",
	asMean: "mean", asSD: "standard deviation", asN: "count", asParameter: "name of the reading", asValue: "value", asUnit: "unit",
	asQualifier: "qualifier", asTarget: "target", asVolume: "volume of the jar", asStrength: "strength of the stock", asDilution: "dilution of the sample",
}

func (r role) String() string { return roleNames[r] }
