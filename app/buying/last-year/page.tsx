import type { Metadata } from 'next'
import { PageHead } from '@/app/_parts/page-head.tsx'
import type { PageQuery } from '@/app/_parts/query.ts'
import { Watch } from '@/app/_parts/watch.tsx'
import { When } from '@/app/_parts/when.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { partClassSays } from '@/lib/catalogue/part-class.ts'
import { pastYearStanding, pastYearStart } from '@/lib/db/past-year-run.ts'
import { CLASS_PIECES_LEAST, type PastYear, type YearGroup } from '@/lib/demand/past-year-result.ts'
import { counted } from '@/lib/measure/counted.ts'
import { mayDo } from '@/lib/people/role.ts'
import { settingsRead } from '@/lib/settings.ts'
import { reckonAgain } from './actions.ts'
import { ClassTable } from './class-table.tsx'
import { FrontierPicture } from './frontier-picture.tsx'
import { YearMeans } from './means.tsx'
import { KIND_WORDS, SERVICES, type YearQuestion, yearQuestion } from './question.ts'
import { WayTable } from './way-table.tsx'

export const metadata: Metadata = { title: 'Last year, run again' }

export default async function LastYearPage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const question = yearQuestion(await searchParams)
  const clock = () => new Date()
  const before = pastYearStanding(clock())
  // A new month is over, or nothing was reckoned yet. What broke off is begun again by a person, not by every look at it.
  if (!before.isFresh && before.far === null && !before.isBroken) pastYearStart(clock)
  const { far, isBroken, last } = pastYearStanding(clock())
  const group = last?.year.groups.find((one) => one.partClass === question.partClass) ?? last?.year.groups[0]
  return (
    <main className="page" id="page">
      <PageHead up={paths.buying()} from="Order list" title="Last year, run again" />
      <div className="stack loose">
        <p>
          What each way to set levels would have done for the shelf over the last twelve months: every month its levels
          are set anew from what was known before it, and the parts that were really taken are taken from that shelf.
        </p>
        {far === null ? null : (
          <Watch says={far === '' ? 'Reading the ledger' : `Running the year again, ${far} ways done`} />
        )}
        {isBroken && far === null ? (
          <p role="status">The reckoning broke off before its end. Nothing was changed by it: start it again.</p>
        ) : null}
        {last && group ? (
          <Year year={last.year} group={group} question={question} />
        ) : far === null && !isBroken ? (
          <p className="empty">Nothing was reckoned yet.</p>
        ) : null}
        {far === null ? (
          <div className="row spread no-print">
            {last ? (
              <p className="soft">
                Reckoned <When at={last.endedAt} time />
              </p>
            ) : null}
            {mayDo(who.roles, 'stock.level') ? (
              <ActionForm action={reckonAgain} formKey={freshKey()} submit="Reckon again" submitClassName="button" />
            ) : null}
          </div>
        ) : null}
      </div>
    </main>
  )
}

function Year({ year, group, question }: { year: PastYear; group: YearGroup; question: YearQuestion }) {
  const { currency } = settingsRead()
  if (year.groups[0]!.real.parts === 0)
    return <p className="empty">Nothing was taken from the shelf in pieces yet: there is no year to run again.</p>
  const shared = { group, question, currency }
  return (
    <>
      <YearMeans year={year} {...shared} />
      <Choice year={year} group={group} question={question} />
      <WayTable {...shared} />
      <FrontierPicture {...shared} />
      <ClassTable year={year} question={question} currency={currency} />
      <section className="stack tight" aria-labelledby="how">
        <h2 id="how">How it is reckoned</h2>
        <ul className="stack tight">
          <li>
            {counted(group.real.parts, 'part')} of which something was ever taken, {year.from} to {year.through}. Left
            out: {counted(year.neverTaken, 'part')} of which nothing was ever taken, and{' '}
            {counted(year.notInPieces, 'part')} that {year.notInPieces === 1 ? 'is' : 'are'} poured or cut to length.
          </li>
          <li>
            What was replaced counts for the part of today. A month in which the shelf was empty and less than usual was
            taken teaches nothing. Who asked in vain the ledger does not know: that is in no figure.
          </li>
          <li>
            The shelf is looked at once a month; a delivery comes after whole months, as near as the supplier’s lead
            time is to them. Stock is what lies there at the end of a month, at what a piece is worth now.
          </li>
          <li>
            Parts without a level ({year.withoutLevel}) are bought when a job wants them: with the levels kept now their
            jobs wait.
          </li>
        </ul>
      </section>
    </>
  )
}

function Choice({ year, group, question }: { year: PastYear; group: YearGroup; question: YearQuestion }) {
  // The key: come by a link, the fields would still say what was asked before.
  const asked = `${question.kind} ${question.service} ${group.partClass}`
  return (
    <search className="no-print" key={asked}>
      <form action={paths.lastYear()} className="row end">
        <div className="field">
          <label htmlFor="year-kind">Service</label>
          <select id="year-kind" name="kind" defaultValue={question.kind}>
            {Object.entries(KIND_WORDS).map(([kind, says]) => (
              <option key={kind} value={kind}>
                {says}
              </option>
            ))}
          </select>
        </div>
        <div className="field">
          <label htmlFor="year-service">Of a hundred</label>
          <select id="year-service" name="service" defaultValue={String(Math.round(question.service * 100))}>
            {SERVICES.map((one) => (
              <option key={one} value={one}>
                {one}
              </option>
            ))}
          </select>
        </div>
        <div className="field">
          <label htmlFor="year-class">Class</label>
          <p className="hint" id="year-class-hint">
            Those with {CLASS_PIECES_LEAST} pieces asked for, or more
          </p>
          <select id="year-class" name="class" defaultValue={group.partClass ?? ''} aria-describedby="year-class-hint">
            <option value="">All parts</option>
            {year.groups.flatMap(({ partClass }) =>
              partClass === null
                ? []
                : [
                    <option key={partClass} value={partClass}>
                      {partClassSays(partClass)}
                    </option>,
                  ],
            )}
          </select>
        </div>
        <button type="submit" className="button">
          Show
        </button>
      </form>
    </search>
  )
}
