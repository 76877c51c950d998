import type { Metadata } from 'next'
import Link from 'next/link'
import { found } from '@/app/_parts/found.ts'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { OldUnitsOfPart } from '@/app/_parts/old-units-asked.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { PartHead } from '@/app/_parts/part-head.tsx'
import { PartPicker } from '@/app/_parts/part-picker.tsx'
import { type PageQuery, queryId, queryText } from '@/app/_parts/query.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { partCard } from '@/lib/db/part.ts'
import { mayDo, type Right } from '@/lib/people/role.ts'
import { PutBackForm, ScrapForm, TakeForm } from './book-forms.tsx'

export const metadata: Metadata = { title: 'Take, put back or scrap' }

const WAYS = { take: 'Take', back: 'Put back', scrap: 'Scrap' } as const
const RIGHTS = { take: 'stock.issue', back: 'stock.issue', scrap: 'stock.scrap' } as const satisfies Record<
  keyof typeof WAYS,
  Right
>

export default async function BookPage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const asked = await searchParams
  const partId = queryId(asked.part)
  const binId = queryId(asked.bin) ?? undefined
  const said = queryText(asked.as)
  const as = said === 'back' || said === 'scrap' ? said : 'take'
  const part = partId === null ? null : await found(partCard(partId))
  return (
    <main className="page narrow stack" id="page">
      <PageHead up={paths.shelf()} from="Shelf" about="without a job" title={WAYS[as]} />
      {part === null ? (
        <>
          <p>Which part? What goes into a machine on a job is taken on that job.</p>
          <PartPicker
            query={queryText(asked.q)}
            action={paths.book()}
            keeps={{ as }}
            pick={(hit) => (
              <Link className="button" href={paths.book({ part: hit.id, as })} prefetch={false}>
                Choose<span className="visually-hidden"> {hit.number}</span>
              </Link>
            )}
          />
        </>
      ) : (
        <>
          <nav className="row" aria-label="What is done">
            {(Object.keys(WAYS) as (keyof typeof WAYS)[]).map((way) => (
              <Link
                key={way}
                className="button"
                href={paths.book({ part: part.id, bin: binId, as: way })}
                aria-current={way === as ? 'page' : undefined}
                prefetch={false}
              >
                {WAYS[way]}
              </Link>
            ))}
          </nav>
          <PartHead part={part} />
          {!mayDo(who.roles, RIGHTS[as]) ? (
            <MayNot right={RIGHTS[as]} />
          ) : as === 'take' ? (
            <>
              <TakeForm part={part} binId={binId} />
              <OldUnitsOfPart partId={part.id} roles={who.roles} />
            </>
          ) : as === 'back' ? (
            <PutBackForm part={part} binId={binId} />
          ) : (
            <ScrapForm part={part} binId={binId} />
          )}
        </>
      )}
    </main>
  )
}
