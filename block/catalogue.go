package block

var rules []Rule
