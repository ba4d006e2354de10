package rulebook

import "slices"

// What a row or a rule rests on when nothing published was found. Whoever reads
// a finding is shown these words as they stand.
const (
	CommonPractice = "common practice"
	FromMemory     = "from memory: check your rule book"
)

// Published references that several rules share. Sources of the code tables are
// in the files of the rule sets.
const (
	refAccept     = "GERT8000-TS3 3.4.1; read in study cards, https://brainscape.com/flashcards/random-mix-13247983/packs/21355742"
	refBells      = "Railtrack rule book 1996 as described by C. Feather, Signal box bell codes, http://www.davros.org/rail/signalling/bellcodes.html"
	refWinwick    = "Winwick Junction, 28 September 1934, https://en.wikipedia.org/wiki/Winwick_rail_crash"
	refHawes      = "Hawes Junction, 24 December 1910, https://en.wikipedia.org/wiki/Hawes_Junction_rail_crash"
	refShrivenham = "Shrivenham, 15 January 1936: report by Lt-Col Mount, https://en.wikisource.org/wiki/Report_on_the_Shrivenham_train_crash_of_15_January_1936"
	refQuintin    = "Quintinshill, 22 May 1915, https://liquisearch.com/quintinshill_rail_disaster/sequence_of_events"
	refGreatNorth = "Great Northern Railway, Absolute Block regulations 1897, http://library.distantreader.org/stacks/trust/uiuo/uiuo_ark+=13960=t6h17rp05.txt"
	refPermissive = "from memory; the principle in the glossary of the LNWR Society, permissive block, http://lnwrs.org.uk/Glossary/gloss.php?word=PermissiveBlock"
	refDescribed  = "Regulations for train signalling by the track circuit block system, 1992, 2.4, https://melakarnets.com/proxy/index.php?q=https%3A%2F%2Fwww.scribd.com%2Fdocument%2F156570080%2FBR30062-1-Iss-1-pdf"
	refFouling    = "Absolute block signalling, clearing point, Wikipedia, https://en.wikipedia-on-ipfs.org/wiki/Absolute_block_signalling"
	refMills      = "W. H. Mills, Railway Construction, block instruments, https://bitlit.ru/page/en/william-hemingway-mills/railway-construction/142"
	refLNER       = "LNER form 1009/1, https://vdocuments.mx/train-signalling.html"
	refDuty       = "GERT8000-TS1 1.3; read in study cards, https://api.brainscape.com/flashcards/the-rules-21216767/packs/23279830"
	refReminder   = "GERT8000-TS1 3.5; read in study cards, https://api.brainscape.com/flashcards/the-rules-21216767/packs/23279830"
	refInks       = "LNER forum, Signalbox register, https://www.lner.info/forums/viewtopic.php?f=5&start=15&t=13699&view=print"
	refLock77     = "Great Southern Railways Rule Book 1933, rule 77, https://trainweb.us/i3/gsr_rules/r77-80.htm"
	refConnington = "Connington 1961, two registers compared, https://forum.signalbox.org/viewtopic.php?f=2&t=7851"

	refTokens    = "Great Western Railway, Electric Train Token regulations 1936, http://gwr.org.uk/electric-token.html"
	refAbermule  = "Abermule, 26 January 1921: official report, https://twentytrees.co.uk/HISTORY/General/Event/Abermule-Train-Collision.html"
	refAylesbury = "RAIB report 13/2008, Aylesbury, 27 August 2007, https://docslib.org/doc/11723569/rail-accident-report"
	refAndria    = "Andria to Corato, 12 July 2016: evidence in court, https://www.coratolive.it/news/cronaca/879502/"
	refRomney    = "General Rules (India) 12.01; RAIB safety digest, Romney Sands, 28 August 2019, https://www.gov.uk/government/news/serious-operating-irregularity-at-romney-sands"

	// The books of the Indian set, by clause; they print what British token
	// books were not found to.
	inGeneral = "General Rules (India) "
	inManual  = "Block Working Manual (South Central Railway) Part A "
	inManualB = "Block Working Manual (South Central Railway) Part B, "
	inBooks   = ", https://github.com/aomadda/aom"

	// Resumed is where it stands that normal working begins again with the section
	// proved clear.
	Resumed = inManual + "8.10(b); Subsidiary Rule (India) 11.05.10" + inBooks
)

// rules is the catalogue: every rule, grouped as the files beside this one are.
var rules = slices.Concat(blockRules, bellRules, singleRules, trainRules, crossingRules, boxRules, registerRules)
