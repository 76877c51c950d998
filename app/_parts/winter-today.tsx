import Link from 'next/link'
import { paths } from '@/app/paths.ts'
import { winterPlans } from '@/lib/db/winter.ts'
import { seasonIsNear, seasonName, seasonProposed } from '@/lib/winter/season.ts'
import { todayIs } from './today.ts'
import { When } from './when.tsx'

/** The winter while it runs or is near: its plan and its list to buy, or that it is time for one. */
export async function WinterToday() {
  const today = todayIs()
  const plans = (await winterPlans()).filter(({ endedAt, work }) => endedAt === null && seasonIsNear(today, work))
  const proposed = seasonProposed(today)
  if (plans.length === 0 && !seasonIsNear(today, proposed)) return null
  return (
    <section className="stack tight" aria-labelledby="winter">
      <h2 id="winter">Winter</h2>
      {plans.length === 0 ? (
        <p>
          <Link href={paths.winters()}>Plan {seasonName(proposed)}</Link>: which machines come in, and what to order for
          it
        </p>
      ) : (
        <ul className="plain-list stack tight">
          {plans.map(({ id, name, work }) => (
            <li key={id}>
              <Link href={paths.winter(id)}>{name}</Link>, from <When at={work.from} />:{' '}
              <Link href={paths.winterBuy(id)}>what to buy for it</Link>
            </li>
          ))}
        </ul>
      )}
    </section>
  )
}
