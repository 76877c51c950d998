import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import type { PickBatch } from '@/lib/job/pick-list.ts'
import { dateSays } from '@/lib/measure/date.ts'
import { dayCode, isExpired } from '@/lib/stock/batch.ts'

/** A batch with its day, by word and shape where it is past. */
export function BatchName({ batch, today, link = false }: { batch: PickBatch; today: string; link?: boolean }) {
  const { expiresOn } = batch
  const isDayOnly = expiresOn !== null && batch.code === dayCode(expiresOn)
  const code = isDayOnly ? `use by ${dateSays(expiresOn)}` : `batch ${batch.code}`
  return (
    <>
      {link ? (
        <Link href={paths.batch(batch.id)} prefetch={false}>
          {code}
        </Link>
      ) : (
        code
      )}
      {expiresOn === null || isDayOnly ? '' : `, use by ${dateSays(expiresOn)}`}
      {isExpired(expiresOn, today) ? (
        <>
          {' '}
          <span className="badge unsafe">
            <span aria-hidden="true">▲ </span>expired
          </span>
        </>
      ) : null}
    </>
  )
}
