import { databaseClose } from '../db/client.ts'
import { pastYearFacts } from '../db/past-year-read.ts'
import { yearSays } from '../demand/past-year.ts'
import { pastYear } from '../demand/past-year-result.ts'
import { counted } from '../measure/counted.ts'
import { type Answer, EXIT } from './answer.ts'

/**
 * `cotterbook last-year`: what each way to set levels would have given over the last twelve months of this workshop's own ledger.
 * `say` hears how far it is.
 */
export async function lastYearCommand(now: Date, say: (line: string) => void): Promise<Answer> {
  try {
    const facts = await pastYearFacts(now.toISOString().slice(0, 10), now)
    const year = pastYear(facts, (steps, of) => say(`${steps} of ${of}`))
    const all = year.groups[0]!
    const line = (name: string, sum: typeof all.kept) => {
      const { fill, cycle, pieces, value } = yearSays(sum)
      return `${name}: fill ${fill.toFixed(3)}, cycle ${cycle.toFixed(3)}, ${counted(Math.round(pieces), 'piece')}, value ${Math.round(value) / 100}`
    }
    const rows = all.ways.flatMap(({ name, kind, points }) =>
      points.map(({ target, sum }) => line(`${name}, ${kind} ${target}`, sum)),
    )
    const real = yearSays(all.real)
    const text = [
      `${year.from} to ${year.through}, ${counted(all.real.parts, 'part')}`,
      `as it was: ${counted(Math.round(real.pieces), 'piece')}, value ${Math.round(real.value) / 100}`,
      line('levels kept now', all.kept),
      ...rows,
    ]
    return { status: EXIT.fine, text: text.join('\n'), json: year }
  } finally {
    await databaseClose()
  }
}
