import type { Metadata } from 'next'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { Watch } from '@/app/_parts/watch.tsx'
import { When } from '@/app/_parts/when.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { checkStanding } from '@/lib/db/check-run.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import type { CheckResult } from '@/lib/verify/kept.ts'
import { checkNow } from './actions.ts'

export const metadata: Metadata = { title: 'Check of the books' }

export default async function CheckPage() {
  const who = await signedIn()
  const { workingSince, last } = checkStanding()
  return (
    <main className="page narrow stack" id="page">
      <PageHead up={paths.settings()} from="Settings" title="Check of the books" />
      <p>
        Once a day everything that must hold is proved from the data: that each bin holds what its movements add up to,
        that parts are worth what was paid for them, that the service book is as it was written. Nothing is changed by
        it.
      </p>
      {workingSince === null ? null : <Watch says="Proving the books" />}
      {last === null ? (
        workingSince === null ? (
          <p className="empty">Not checked yet. The first check is made within a day; or start one now.</p>
        ) : null
      ) : (
        <Result last={last} />
      )}
      {workingSince === null && mayDo(who.roles, 'stock.count') ? (
        <ActionForm action={checkNow} formKey={freshKey()} submit="Check now" submitClassName="button" />
      ) : null}
    </main>
  )
}

function Result({ last }: { last: CheckResult }) {
  const wrong = last.checks.filter((check) => !check.ok)
  const right = last.checks.filter((check) => check.ok)
  return (
    <section className="stack tight" aria-labelledby="result">
      <h2 id="result">
        {wrong.length === 0
          ? `All ${counted(last.checks.length, 'check')} hold`
          : `${counted(wrong.length, 'check')} of ${last.checks.length} ${wrong.length === 1 ? 'does' : 'do'} not hold`}
      </h2>
      <p className="soft">
        <When at={last.endedAt} time />
      </p>
      {wrong.length === 0 ? null : (
        <div className="caution stack tight">
          <p className="strong">
            Keep a backup of what is there now before anything else. Then put each line right, or go back to a backup
            from before.
          </p>
          <ul className="stack tight">
            {wrong.map((check) => (
              <li key={check.name}>
                <span aria-hidden="true">▲ </span>
                {check.name}
                <ul>
                  {check.faults.map((fault) => (
                    <li key={fault} className="small">
                      {fault}
                    </li>
                  ))}
                </ul>
              </li>
            ))}
          </ul>
        </div>
      )}
      <details>
        <summary className="button quiet">What holds</summary>
        <ul>
          {right.map((check) => (
            <li key={check.name}>{check.name}</li>
          ))}
        </ul>
      </details>
    </section>
  )
}
