package study

// Version is that of the program: of the window and of its batch twin.
const Version = "0.1.0"
