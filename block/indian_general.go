package block

var indianGeneral = RuleSet{Name: "indian-general", Methods: []Method{Absolute, Token, StaffAndTicket, OneTrain, Tokenless}}
