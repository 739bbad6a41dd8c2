package capture

import (
	"fmt"
	"math"
	"strings"
)

// An Event is an instant that the file names.
type Event struct {
	Label string
	Time  float64 // s
}

// events returns those of the EVENT group, or else of the header. A context,
// such as a side, stands before the label unless it is General.
func (f *c3dFile) events() []Event {
	var events []Event
	add := func(label string, time float64) {
		if !math.IsNaN(time) && !math.IsInf(time, 0) {
			events = append(events, Event{label, time})
		}
	}
	times := f.floats("EVENT:TIMES") // pairs of minutes and seconds
	labels, contexts := f.texts("EVENT:LABELS"), f.texts("EVENT:CONTEXTS")
	used := min(int(f.number("EVENT:USED")), len(times)/2)
	for i := range used {
		label := ""
		if i < len(labels) {
			label = labels[i]
		}
		if i < len(contexts) && !strings.EqualFold(contexts[i], general) {
			label = strings.TrimSpace(contexts[i] + " " + label)
		}
		add(label, 60*times[2*i]+shortest(times[2*i+1]))
	}
	if len(events) > 0 || f.word(150) != c3dWord {
		return events
	}
	const most = 18 // there is room for in the header
	for i := range min(f.word(151), most) {
		add(plainText(f.head[396+4*i:][:4]), shortest(f.float(f.head[304+4*i:])))
	}
	return events
}

// events writes events, their times moved by shift, as a group.
func (s *section) events(events []Event, shift float64) error {
	if len(events) == 0 {
		return nil
	}
	if len(events) > maxDimension {
		return fmt.Errorf("a C3D file holds %d events; %d are too many", maxDimension, len(events))
	}
	var labels, contexts []string
	var times []float64
	for _, e := range events {
		if len(e.Label) > maxDimension/2 { // so that all of them fit into one array
			return fmt.Errorf("the event label %s is longer than the %d bytes that are written to a C3D file", quoted([]byte(e.Label)), maxDimension/2)
		}
		minutes, seconds := math.Modf((e.Time + shift) / 60)
		labels = append(labels, e.Label)
		contexts = append(contexts, general)
		times = append(times, minutes, 60*seconds)
	}
	s.begin("EVENT")
	s.word("USED", len(events))
	s.texts("CONTEXTS", contexts)
	s.texts("LABELS", labels)
	s.floats("TIMES", times, 2, byte(len(events)))
	return nil
}

// general is the context of an event on no side.
const general = "General"
