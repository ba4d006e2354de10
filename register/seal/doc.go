// Package seal signs the head of a register, so that someone who does not trust
// the box, the program or its keeper can check an export or a printed page.
//
// The hash chain of register/store names the first entry that was altered, but
// whoever may write the file can make the whole chain again. A seal stops that:
//
//  1. A Statement says in readable lines which register, which entries, and the
//     hash of the last of them. Its bytes are pinned by a test and never change
//     for a given first line ("fairhand seal 1").
//
//  2. Key.Sign signs those bytes with the box's Ed25519 key. The signature is an
//     SSH signature in the namespace of this program (OpenSSH, PROTOCOL.sshsig),
//     so it is checked by Verify here and by anyone with OpenSSH alone:
//
//     ssh-keygen -Y verify -f allowed -I ennerholme -n fairhand-register@local \
//     -s seal.sig < seal.txt
//
//     where the file "allowed" holds the line that AllowedSigners gives.
//
//  3. Words is a short form of the head that is told to the neighbour by
//     telephone and entered in his book (09:00 seal Ennerholme "4123 armour ...").
//     Two books then vouch for each other: an old head cannot be made anew
//     without his book telling of it. ParseWords reads them, Told.Match compares
//     them with the head of that number as it is now.
//
// What it does not do: the key lies on the same machine as the register, so a
// seal is worth what the keeping of the key is worth, and the public key must be
// known from elsewhere (printed, held by the inspector). A seal says that the
// entries are those that were sealed, never that they are true.
//
// All times are UTC. Nothing here reads a clock.
package seal
