import type { Metadata } from 'next'
import Link from 'next/link'
import { MovementWhy, movementSigned } from '@/app/_parts/movement-why.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { type PageQuery, queryId } from '@/app/_parts/query.ts'
import { When } from '@/app/_parts/when.tsx'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { type MovementLine, movementRead } from '@/lib/db/movement-line.ts'
import { movementPeople, movementsFind } from '@/lib/db/movement-search.ts'
import { storesList } from '@/lib/db/shelf.ts'
import { quantityFormat } from '@/lib/measure/quantity.ts'
import { mayDo } from '@/lib/people/role.ts'
import { MOVEMENT_KINDS } from '@/lib/stock/movement.ts'
import { movementAsksAll } from '@/lib/stock/movement-search.ts'
import { MovementFilter } from './movement-filter.tsx'
import { PutRight } from './put-right.tsx'
import { movementAddress, movementFaults, movementQuestion } from './question.ts'

export const metadata: Metadata = { title: 'Movements' }

export default async function MovementsPage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const asked = await searchParams
  const question = movementQuestion(asked)
  const { partId } = question
  const beforeId = queryId(asked.before)
  const rightId = queryId(asked.right)
  const [{ rows, more }, wrong, stores, people] = await Promise.all([
    movementsFind(question, beforeId),
    rightId === null ? null : movementRead(rightId),
    storesList(),
    movementPeople(),
  ])
  const mayReverse = mayDo(who.roles, 'stock.reverse')
  const address = movementAddress(question)
  const here = { ...address, before: beforeId ?? undefined }
  const oldest = rows.at(-1)
  return (
    <main className="page" id="page">
      <PageHead up={paths.shelf()} from="Shelf" title="Movements">
        {partId === null ? null : (
          <p>
            Only part{' '}
            <Link href={paths.part(partId)} className="number" prefetch={false}>
              {rows[0]?.number ?? partId}
            </Link>
            . <Link href={paths.partLedger(partId)}>What was on hand over time</Link>
          </p>
        )}
      </PageHead>
      <div className="stack">
        {wrong ? <PutRight movement={wrong} mayReverse={mayReverse} /> : null}
        <p className="soft">
          Nothing here is ever changed or struck out. A mistake is put right by a line that says so.
        </p>
        <MovementFilter question={question} stores={stores} people={people} />
        {movementFaults(asked, question).map((fault) => (
          <p key={fault} className="fault">
            {fault}
          </p>
        ))}
        {rows.length === 0 && !movementAsksAll(question) ? (
          <p className="empty">
            Nothing in the ledger answers that. <Link href={paths.movements()}>Show all movements</Link>, or ask for
            less.
          </p>
        ) : rows.length === 0 ? (
          <p className="empty">
            No movements {beforeId === null ? 'yet' : 'before that one'}. The first is made when a part is{' '}
            <Link href={paths.receive()}>received</Link>.
          </p>
        ) : (
          <Ledger
            rows={rows}
            rightHref={(id) => (mayReverse ? `${paths.movements({ ...here, right: id })}#right` : null)}
          />
        )}
        <nav className="row" aria-label="Pages">
          {beforeId === null ? null : (
            <Link className="button" href={paths.movements(address)} prefetch={false}>
              Newest
            </Link>
          )}
          {more && oldest ? (
            <Link className="button" href={paths.movements({ ...address, before: oldest.id })} prefetch={false}>
              Older
            </Link>
          ) : null}
          {rows.length > 0 ? (
            <a className="button" href={paths.movementsCsv(address)}>
              CSV
            </a>
          ) : null}
        </nav>
      </div>
    </main>
  )
}

function Ledger({ rows, rightHref }: { rows: MovementLine[]; rightHref: (id: number) => string | null }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Movements, newest first</caption>
      <thead>
        <tr>
          <th scope="col">When</th>
          <th scope="col">Part</th>
          <th scope="col">What</th>
          <th scope="col" className="right">
            How many
          </th>
          <th scope="col" className="right">
            Left in bin
          </th>
          <th scope="col">Who, why</th>
          <th scope="col">Put right</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row.id} id={`m-${row.id}`}>
            <td className="wide">
              <When at={row.at} time />
            </td>
            <td className="wide">
              <Link href={paths.part(row.partId)} prefetch={false}>
                <span className="number">{row.number}</span>
              </Link>{' '}
              {row.description}
            </td>
            <td>
              {MOVEMENT_KINDS[row.kind].says}, bin{' '}
              <Link href={paths.bin(row.binId)} prefetch={false}>
                {row.bin}
              </Link>
            </td>
            <td className="right">{movementSigned(row)}</td>
            <td className="right" data-label="left">
              {quantityFormat(row.balanceAfter, row.unit)}
            </td>
            <td className="wide">
              <MovementWhy row={row} />
            </td>
            <td className="wide">
              <Right row={row} href={rightHref(row.id)} />
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}

function Right({ row, href }: { row: MovementLine; href: string | null }) {
  if (row.reversedById !== null) return <span>Put right by {row.reversedById}</span>
  if (row.whyNotReversible !== null || href === null) return null
  return (
    <Link className="button quiet" href={href} prefetch={false} aria-label={`Put right movement ${row.id}`}>
      Put right
    </Link>
  )
}
