import { databaseClose } from '../../lib/db/client.ts'
import { signIn } from '../../lib/db/session.ts'
import { isRefusal } from '../../lib/refusal.ts'
import { seededBytes } from './seeded-bytes.ts'

/** One process of several that guess at the same name; prints the codes of the answers it got. */
const [name = '', tries = '0', at = ''] = process.argv.slice(2)
const random = seededBytes(`worker-${process.pid}`)
const answers = await Promise.all(
  Array.from({ length: Number(tries) }, (_, turn) =>
    signIn({ name, secret: `wrong-${process.pid}-${turn}`, address: `192.0.2.${turn + 1}` }, new Date(at), random).then(
      () => 'in',
      (error: unknown) => (isRefusal(error) ? error.code : String(error)),
    ),
  ),
)
console.info(JSON.stringify(answers))
await databaseClose()
