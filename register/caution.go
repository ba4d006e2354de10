package register

import "fairhand/register/sheet"

// Caution is said on the first start, in the README and at the foot of every
// export: what a register is and what it is not.
const Caution = sheet.Caution
