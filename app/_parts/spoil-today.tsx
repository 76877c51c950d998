import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { expiredCount } from '@/lib/db/spoil.ts'
import { counted } from '@/lib/measure/counted.ts'
import { todayIs } from './today.ts'

/** What is past its use-by date where people take from, only when there is some. */
export async function SpoilToday() {
  const expired = await expiredCount(todayIs())
  return expired === 0 ? null : (
    <li>
      <Link href={paths.spoils()} className="strong">
        <span aria-hidden="true">▲ </span>
        {counted(expired, 'batch', 'batches')} past the use-by date
      </Link>
    </li>
  )
}
