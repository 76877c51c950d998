import { nameKey } from '../catalogue/part-number.ts'
import type { Tx } from './client.ts'
import type { WriteContext } from './transaction.ts'

/** Who writes when a command does: nobody signs in as it, and the books still name a writer. */
export const COMMAND_LINE = 'command-line'

/** Puts the command line on the list of people, in the transaction of its first write; does nothing for other writers. */
export async function commandLinePerson(tx: Tx, context: WriteContext): Promise<void> {
  if (context.personId !== COMMAND_LINE) return
  if (await tx.person.findUnique({ where: { id: COMMAND_LINE }, select: { id: true } })) return
  const name = 'Command line'
  const namesake = await tx.person.findUnique({ where: { nameKey: nameKey(name) }, select: { id: true } })
  await tx.person.create({
    data: {
      id: COMMAND_LINE,
      name,
      nameKey: namesake ? COMMAND_LINE : nameKey(name),
      // No scrypt hash begins like this, so no PIN or password matches.
      secretHash: '!',
      active: false,
      createdAt: context.now,
    },
  })
}
