import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { depositsPressing } from '@/lib/db/deposit-read.ts'
import { counted } from '@/lib/measure/counted.ts'
import { todayIs } from './today.ts'

/** Today's old units: those that must be back within the fortnight, or should have been. */
export async function DepositsToday() {
  const { overdue, soon } = await depositsPressing(todayIs())
  if (overdue + soon === 0) return null
  return (
    <li>
      <Link href={paths.oldUnits()}>{counted(overdue + soon, 'old unit')} to send back</Link>{' '}
      <span className="badge">
        <span aria-hidden="true">{overdue > 0 ? '▲' : '◆'} </span>
        {overdue > 0 ? `${overdue} overdue` : 'within 14 days'}
      </span>
    </li>
  )
}
