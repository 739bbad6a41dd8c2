package study

import (
	"regexp"
	"strings"
)

// packages are the package names that errors begin with.
var packages = regexp.MustCompile(`\b(app|study|capture|kinematics|beam|contrast|report|sampledata): `)

// Plain returns the text of an error on one line and without package names, for
// those who use the program.
func Plain(text string) string {
	return strings.Join(strings.Fields(packages.ReplaceAllString(text, "")), " ")
}
