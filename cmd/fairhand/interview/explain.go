package interview

// explained says what each question of fairhand init is for, by its subject, which
// is the key of box.yaml that the answer fills wherever there is one.
var explained = map[string]string{
	"rules":       "The block regulations that the entries are judged by: the bell codes, times and words go by them. Take the one nearest to the book of rules in your box, such as british-later; your own codes and limits can be added to the box file.",
	"railway":     "Stands at the head of each page and sheet, such as Thrackley Vale Railway. It may be left empty.",
	"box":         "Your box, as it is called in the book and by its neighbours, such as Ennerholme.",
	"timezone":    "Times are taken down by the clock on your wall, summer time included, and this says where it hangs: Europe/London, Asia/Kolkata. UTC is a clock that is never changed.",
	"clock-check": "Where the clock is compared with a time signal once a day, the tool reminds you when that is not booked. Answer with the time it is due, such as 09:00, or none.",

	"sections.neighbour":        "The box at the other end of a block section, with which you exchange bells, such as Coldbeck. Each neighbour is named once, with all the lines that lead to it.",
	"sections.method":           "What allows a train into the section. Such as token: the driver carries a token out of the instrument of a single line. Absolute: line clear is asked for and given by bell, one train at a time on each line. What is not listed the rule set does not have: axle-counter, where line clear is spoken and the section proved by counters, is in indian-general; where trains are only described, the line being proved by track circuits or counters, track-circuit is in british-later.",
	"sections.towards":          "Each train is an up or a down train, and this is how the tool tells which. Answer down when a train that leaves you for that box is a down train there; empty when your line does not say up and down.",
	"sections.lines.name":       "The running line by the name it has in the book, such as Up Main. A section with two lines one way is written Up Fast, Up Slow.",
	"sections.lines.single":     "The one line that trains use in both directions, by the name it has in the book, such as Single.",
	"sections.clearing-point":   "How far the line must be clear beyond the home signal before a train may be accepted. The tool watches what stands within it; 440 is a quarter of a mile in yards, 400 m are metres. Your box instructions say.",
	"sections.improbable":       "So short a distance leaves a train that runs past the home signal next to no room. It is probably a slip, such as 44 for 440: yes keeps it, no asks for it again.",
	"sections.running-minutes":  "From train entering section to train out of section, at the slow end of what is usual, such as 9. The tool says so when a train takes longer.",
	"sections.allow":            "Whether your box instructions permit a train to be accepted while the clearing point is not clear, its driver being warned at the box in rear. With no, each time is called irregular.",
	"sections.tokens.charge":    "Every token on the charge list of the section, in the instruments of both boxes together. 1-12 are twelve tokens; 1-6, 9 are seven. A number that is not on it is queried when it is booked.",
	"sections.tokens.here":      "The tokens in your own instrument when the book begins; the others are at the other end. Such as 1-6, or none. The tool counts on from here.",
	"sections.offer":            "With no, nothing is asked for before a train leaves for that box or comes from it, and the tool misses no such entry.",
	"sections.trains":           "One more than this let into the section is found. Empty when no instruction says how many there is room for.",
	"sections.source":           "The rules of permissive working are here from memory, and are advice. With the instruction of your box named they are dangers.",
	"sections.tokens.low-stock": "When trains run one way more than the other, one instrument runs empty and tokens must be moved. 3 has it said as soon as three or fewer are left in yours; 0 never.",

	"sections.staff": "The one staff of the section, without which no train enters it. Here: in your box; away: at the other end. Left empty, the first entry that tells of it says where it is.",

	"places.name":        "Where a train can stand within your station limits, by the name it has in the book, such as Platform 1, Loop or Yard. The tool follows which trains are there.",
	"places.holds":       "The tool says so when a train is sent to a place that is full. 1 is usual for a platform; a yard may hold 6; 0 sets no limit.",
	"places.siding":      "Yes for a yard or a siding behind points that keep it apart: what stands there is in nobody's way. No for a platform or a loop on the running lines.",
	"places.beyond-home": "From the home signal for those trains to this place, such as 480 for a platform 480 yards on. A train that stands nearer than the clearing point obstructs it, and this is how the tool knows. Empty when it is not on their way.",

	"signals.name":    "A signal by the name it has in the book, such as Up Starting. Only where signals are booked off and on, or named when they fail; a box works as well without.",
	"signals.kind":    "Section: it controls the entry to the section, and may not be cleared without line clear. Home and distant: those that trains towards you come to.",
	"signals.section": "A starting signal belongs to the section that it lets trains into, a home signal to the one that they come from, such as Coldbeck.",
	"signals.line":    "A section with several lines has signals for each, such as Up Main. This is the line on which a train passes it.",

	"gear.name":    "Points, a lever, an instrument or a telephone by the name it has in the book, such as Lever 12. Names not listed here may be booked all the same, and are asked about.",
	"gear.kind":    "Such as points. The tool asks of failed points and releases what the rule book asks of them.",
	"gear.section": "Points and ground frames are judged only with the neighbour whose trains pass them, such as Coldbeck. Empty where it serves all, or where that does not matter.",

	"crossings.name":            "A road over the line, by the name it has in the book, such as Mill Lane. The tool books its calls, and warns when leave to cross is given with a train on its way.",
	"crossings.kind":            "Such as user-worked: the user opens the gates and telephones. Worked: gates or barriers worked from your box; keeper: somebody there, whom you tell of trains; automatic: worked by the trains.",
	"crossings.section":         "A crossing out on the line lies in the section to a neighbour, such as Coldbeck. One at your station lies at a place, such as Platform 1: every train that passes or leaves there runs over it.",
	"crossings.minutes-from":    "The quickest a train can be there, such as 2. The tool tells by it whether there is time for a user. Without it any train in the section may be there at any moment.",
	"crossings.protected-by":    "The signals of your box that you put or keep at danger while somebody crosses, such as Down Starting. A large or slow movement allowed while one of them is not at danger stops the hand.",
	"crossings.report-clear":    "Who has to ring again when he is over and the gates are shut. The tool waits for that call, and holds the crossing in doubt when it does not come. Your box instructions say.",
	"crossings.told-before":     "The keeper must know of a train before line clear is given or got for it, before the signals are taken off, or as soon as it has gone. The tool says so when a train is sent that he was not told of; empty where it is not laid down.",
	"crossings.private-numbers": "Yes where you give the keeper a number with each train and he gives one back when the gates are across the road: then no line clear without his number.",
	"crossings.telephone":       "While this is booked as failed, trains over the crossing are to be cautioned, and the tool says so when one is not.",

	"people.name": "Whoever takes duty, visits or is named in the book, as they sign, such as A. Fell. More can be added to the box file at any time.",
	"people.role": "What they may do in the book: a signaller takes duty, a trainee under one; an inspector examines, a technician takes gear out of use. Such as signaller.",
	"pins":        "A name can be typed by anybody; a PIN says that whoever signed on knew it as well, once a turn. It is no proof of who he is. Each PIN is set at the desk or with fairhand pin; with no, the pages say that names alone are given. It can be changed at any time.",

	"timetable": "A text file with a line a train: its name, beats, from and to where, when it arrives and departs, and its place. It is copied beside the box file. New makes one with only the heading, which any table program can go on with.",

	"write": "Yes makes the directory with the box file and an empty register. No leaves everything as it was. The box file can be edited at any time afterwards.",
}
