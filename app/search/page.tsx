import Link from 'next/link'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { modelsList } from '@/lib/db/machine.ts'
import { search } from '@/lib/db/search.ts'
import { searchFilterRead } from '@/lib/db/search-filter.ts'
import { FiguresFound, JobsFound, MachinesFound, PartsFound } from './answers.tsx'
import { narrowRead, type SearchAddress, SearchForm } from './search-form.tsx'

export const metadata = { title: 'Search' }

const TAKES = { parts: 50, figures: 12, machines: 12, jobs: 12 }

export default async function SearchPage({ searchParams }: { searchParams: Promise<SearchAddress> }) {
  await signedIn()
  const narrow = narrowRead(await searchParams)
  const [{ filter, machine, faults }, models] = await Promise.all([searchFilterRead(narrow.wish), modelsList()])
  const typed = narrow.q
  const answer = typed.trim() === '' || faults.length > 0 ? null : await search(typed, TAKES, filter)
  const count = answer
    ? [answer.parts, answer.supplierNumbers, answer.figures, answer.machines, answer.jobs].reduce(
        (sum, kind) => sum + kind.length,
        0,
      )
    : 0
  const isNarrowed = Object.values(narrow.wish).some((value) => value !== undefined && value !== '' && value !== false)
  return (
    <main className="page stack" id="page">
      <div className="page-head">
        <h1>Search</h1>
        <Link className="button quiet" href={paths.words()}>
          Words of our workshop
        </Link>
      </div>
      <SearchForm
        narrow={narrow}
        open={isNarrowed}
        models={models.map(({ id, maker, name }) => ({ id, says: `${maker} ${name}` }))}
      />
      {faults.length > 0 ? (
        <div className="alert" role="alert">
          {faults.map((fault) => (
            <p key={fault}>{fault}</p>
          ))}
        </div>
      ) : null}
      {machine ? (
        <p>
          Parts of the figures of{' '}
          <Link href={paths.machine(machine.id)}>
            {machine.fleetNumber} {machine.name}
          </Link>
          {machine.serialNumber
            ? `, lines that apply to S/N ${machine.serialNumber}.`
            : '. It has no serial number on file, so every line of its model is shown.'}
        </p>
      ) : null}
      {answer && count === 0 ? (
        <p className="empty">
          Nothing answers “{typed}”. Try the number without dashes, one word less, or the other name (split pin, cotter
          pin)
          {isNarrowed ? ', or ' : '.'}
          {isNarrowed ? <Link href={paths.search(typed)}>look in everything</Link> : null}
        </p>
      ) : null}
      {answer?.meant ? (
        <p className="done" role="status">
          Nothing is written “{typed.trim()}”. These answer “{answer.meant}”.
        </p>
      ) : null}
      {answer && answer.directions.length > 0 && answer.figures.length > 0 ? (
        <p className="soft">
          Read as the position: {answer.directions.join(', ')}. It goes along to the figure and to the job.
        </p>
      ) : null}
      {answer ? (
        <>
          <PartsFound title="Parts" parts={answer.parts} fit={filter.parts} />
          <PartsFound title="Suppliers’ numbers" parts={answer.supplierNumbers} fit={filter.parts} />
          <FiguresFound figures={answer.figures} directions={answer.directions} machine={machine} />
          <MachinesFound machines={answer.machines} />
          <JobsFound jobs={answer.jobs} />
        </>
      ) : null}
    </main>
  )
}
