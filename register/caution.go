package register

// Caution is said on the first start, in the README and at the foot of every
// export: what a register is and what it is not.
const Caution = "A record and a reminder, never a protection. It proves nothing on the ground: instruments, " +
	"tokens, signals, the railway's own rule book and its authorised people decide."
