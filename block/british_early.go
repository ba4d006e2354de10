package block

var britishEarly = RuleSet{Name: "british-early", Methods: []Method{Absolute, Token, StaffAndTicket, OneTrain, Tokenless}}
