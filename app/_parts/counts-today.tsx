import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { countsWaitingCount } from '@/lib/db/count-approve.ts'
import { countsOpenCount } from '@/lib/db/count-kept.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo, type Role } from '@/lib/people/role.ts'

/** Today's counting: differences for whoever approves them, bins to go to again for whoever counts. */
export async function CountsToday({ roles }: { roles: readonly Role[] }) {
  const waiting = mayDo(roles, 'stock.approve') ? await countsWaitingCount() : 0
  const again = mayDo(roles, 'stock.count') ? await countsOpenCount() : 0
  return (
    <>
      {waiting > 0 ? (
        <li>
          <Link href={paths.countApprove()}>{counted(waiting, 'count difference')} to approve</Link>
        </li>
      ) : null}
      {again > 0 ? (
        <li>
          <Link href={paths.countDue()}>{counted(again, 'line')} to count again</Link>
        </li>
      ) : null}
    </>
  )
}
