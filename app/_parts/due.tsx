import { dueSays } from '@/lib/buying/order-text.ts'
import { todayIs } from './today.ts'

/** When an ordered part comes; late by word and by shape, never by colour alone. */
export function Due({
  on,
  of,
}: {
  on: string /** What is due, where the words beside it could mean something else. */
  of?: string
}) {
  const { words, isLate } = dueSays(on, todayIs())
  return isLate ? (
    <span className="strong">
      <span aria-hidden="true">▲ </span>
      {of} {words}
    </span>
  ) : (
    <>
      {of} {words}
    </>
  )
}
