package block

var britishLater = RuleSet{Name: "british-later", Methods: []Method{Absolute, Token, StaffAndTicket, OneTrain, Tokenless}}
