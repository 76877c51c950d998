import { counted } from '../measure/counted.ts'
import { dateSays } from '../measure/date.ts'
import { moneyFormat } from '../measure/money.ts'
import { type DepositUrgency, depositUrgency } from './deposit.ts'

/** What is charged beside the price. Example: "and £120.00 deposit, until the old unit is back, within 60 days". */
export function depositSays(
  { depositMinor, returnDays }: { depositMinor: number; returnDays: number | null },
  currency: string,
): string {
  const limit = returnDays === null ? '' : `, within ${counted(returnDays, 'day')}`
  return `and ${moneyFormat(depositMinor, currency)} deposit, until the old unit is back${limit}`
}

const SHAPES: Record<DepositUrgency, string> = { overdue: '▲', soon: '◆', later: '☐', 'open-ended': '☐' }

/** When an old unit must be back, by shape and by word. Example: ▲ overdue since 3 Nov 2026. */
export function depositDueSays(
  dueOn: string | null,
  today: string,
): { shape: string; words: string; presses: boolean } {
  const urgency = depositUrgency(dueOn, today)
  const shape = SHAPES[urgency]
  if (dueOn === null) return { shape, words: 'no day set', presses: false }
  if (urgency === 'overdue') return { shape, words: `overdue since ${dateSays(dueOn)}`, presses: true }
  const days = Math.round((Date.parse(dueOn) - Date.parse(today)) / 86_400_000)
  const left = days === 0 ? 'today' : `in ${counted(days, 'day')}`
  return { shape, words: `due back ${left}, ${dateSays(dueOn)}`, presses: urgency === 'soon' }
}

/** Oil, fuel and batteries on the way back: what can hurt somebody, and who decides. Common practice, no source. */
export const KEEP_CAUTION =
  'Let it cool and let pressure out before you open a joint. Catch oil and fuel, cap the ports, take a battery off, and tie a tag to it. Leave it whole: a unit in pieces is often refused.'
export const SEND_CAUTION =
  'Before it goes: drained, capped, no battery on it, packed so that nothing leaks or rolls, heavy ones lifted with gear. Fuel, oil residues and batteries can be dangerous goods: pack, mark and hand over as the supplier and the carrier say.'
export const DEFERS =
  'The maker’s manual, safety data sheets and local rules on waste and carriage come first; ask a qualified person when unsure.'
