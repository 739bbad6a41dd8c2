package app

import (
	"strings"
	"testing"

	"bendline/app/study"
)

// A mean of places far apart is no place where the shaft bent.
func TestBentMostNamesAPlaceOnlyWhereThereIsOne(t *testing.T) {
	if got := bentMost(study.Summary{Runs: 2, Mean: 720, SD: 28}); got != ", most of all 720 mm from the butt" {
		t.Errorf("near each other: %q", got)
	}
	if got := bentMost(study.Summary{Runs: 5, Mean: 355, SD: 267}); strings.Contains(got, "355") {
		t.Errorf("far apart: %q", got)
	}
}
