package app

import (
	"bendline/app/study"
)

// A content is something a chart can show.
type content struct {
	key, name string
	kind      contentKind
	measure   study.Measure // of a course
	plane     int           // of a map: 0 lead, 1 droop
}

type contentKind int

const (
	course    contentKind = iota // a measure over time
	curvature                    // along the shaft at the instant shown
	moment                       // likewise
	bendMap                      // curvature over time and along the shaft
)

// contents are what charts can show, in the order of the list.
var contents = func() []content {
	var list []content
	for _, of := range [][]study.Measure{study.Measures, study.Rates} {
		for _, m := range of {
			list = append(list, content{key: m.Key, name: m.Label, measure: m})
		}
	}
	return append(list,
		content{key: "curvature", name: "Curvature now", kind: curvature},
		content{key: "moment", name: "Moment now", kind: moment},
		content{key: "lead_map", name: "Map of lead bend", kind: bendMap},
		content{key: "droop_map", name: "Map of droop bend", kind: bendMap, plane: 1})
}()

// shownCharts is how many charts there are, and firstCharts what they show at
// first: lead, droop and twist.
const shownCharts = 3

var firstCharts = [shownCharts]string{study.Measures[0].Key, study.Measures[1].Key, study.Measures[2].Key}

// contentOf returns the content with the key, the first for a key that is none.
func contentOf(key string) content {
	for _, c := range contents {
		if c.key == key {
			return c
		}
	}
	return contents[0]
}
