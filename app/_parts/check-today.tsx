import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { checkStanding } from '@/lib/db/check-run.ts'
import { counted } from '@/lib/measure/counted.ts'

/** The daily check of the books, only when it found something. */
export function CheckToday() {
  const { last } = checkStanding()
  if (last === null || last.ok) return null
  const wrong = last.checks.filter((check) => !check.ok).length
  return (
    <p className="caution">
      <span aria-hidden="true">▲ </span>
      The check of the books found that {counted(wrong, 'thing')} {wrong === 1 ? 'does' : 'do'} not hold.{' '}
      <Link href={paths.check()}>See what</Link>
    </p>
  )
}
