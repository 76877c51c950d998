import type { Metadata } from 'next'
import Link from 'next/link'
import { MayNot } from '@/app/_parts/may-not.tsx'
import { PageHead } from '@/app/_parts/page-head.tsx'
import { type PageQuery, queryId, queryText } from '@/app/_parts/query.ts'
import { signedIn } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { partClassSays } from '@/lib/catalogue/part-class.ts'
import { levelClasses, levelList } from '@/lib/db/level-list.ts'
import { levelRunStanding } from '@/lib/db/level-run.ts'
import { counted } from '@/lib/measure/counted.ts'
import { moneyFormat } from '@/lib/measure/money.ts'
import { mayDo } from '@/lib/people/role.ts'
import { LEVEL_PAGE, LEVEL_WAYS, LevelQuestion } from '@/lib/replenish/decide.ts'
import { settingsRead } from '@/lib/settings.ts'
import { ChangeList } from './change-list.tsx'
import { ReckoningStanding } from './standing.tsx'

export const metadata: Metadata = { title: 'Levels' }

export default async function LevelsPage({ searchParams }: { searchParams: PageQuery }) {
  const who = await signedIn()
  const asked = await searchParams
  const question = LevelQuestion.parse({ way: queryText(asked.way), partClass: queryText(asked.class) || null })
  const page = queryId(asked.page) ?? 1
  const [run, list, classes] = await Promise.all([
    levelRunStanding(new Date()),
    levelList(question, page),
    levelClasses(),
  ])
  const { currency } = settingsRead()
  const mayReckon = mayDo(who.roles, 'level.reckon')
  const address = {
    way: question.way === 'all' ? undefined : question.way,
    class: question.partClass ?? undefined,
  }
  const isFiltered = address.way !== undefined || address.class !== undefined
  const isWorking = run?.state === 'working'
  return (
    <main className="page" id="page">
      <PageHead up={paths.buying()} from="Buying" about="when to order each part, and up to what" title="Levels">
        <Link className="button" href={paths.levelSettings()} prefetch={false}>
          How they are set
        </Link>
      </PageHead>
      <div className="stack">
        <ReckoningStanding run={run} mayReckon={mayReckon} />
        {classes.length === 0 ? null : <Filter question={question} classes={classes} />}
        {list.count > 0 ? (
          <p>
            {counted(list.count, 'change')}: more stock for {moneyFormat(list.bindsMinor, currency)}, less for{' '}
            {moneyFormat(list.freesMinor, currency)}, as it lies there on average.{' '}
            <span className="soft">What moves most money comes first.</span>
          </p>
        ) : run === null || isWorking ? null : (
          <p className="empty">
            {isFiltered ? 'No change answers that.' : 'No change waits for a yes: levels are as they were reckoned.'}
          </p>
        )}
        {mayReckon || list.count === 0 ? null : <MayNot right="level.reckon" />}
        <ChangeList list={list} question={question} currency={currency} mayDecide={mayReckon && !isWorking} />
        <Pages page={page} count={list.count} address={address} />
      </div>
    </main>
  )
}

function Filter({ question, classes }: { question: LevelQuestion; classes: readonly string[] }) {
  return (
    <search>
      <form action={paths.levels()} className="row end">
        <div className="field">
          <label htmlFor="levels-way">Which</label>
          <select id="levels-way" name="way" defaultValue={question.way}>
            {Object.entries(LEVEL_WAYS).map(([value, says]) => (
              <option key={value} value={value}>
                {says}
              </option>
            ))}
          </select>
        </div>
        <div className="field">
          <label htmlFor="levels-class">Class</label>
          <select id="levels-class" name="class" defaultValue={question.partClass ?? ''}>
            <option value="">All classes</option>
            {classes.map((one) => (
              <option key={one} value={one}>
                {partClassSays(one)}
              </option>
            ))}
          </select>
        </div>
        <button type="submit" className="button">
          Show
        </button>
      </form>
    </search>
  )
}

interface PagesOf {
  page: number
  count: number
  address: { way?: string; class?: string }
}

function Pages({ page, count, address }: PagesOf) {
  const last = Math.ceil(count / LEVEL_PAGE)
  if (last <= 1) return null
  const to = (one: number) => (
    <Link className="button" href={paths.levels({ ...address, page: one })} prefetch={false}>
      Page {one}
    </Link>
  )
  return (
    <nav className="row" aria-label="Pages">
      {page > 1 ? to(page - 1) : null}
      <span>
        Page {page} of {last}
      </span>
      {page < last ? to(page + 1) : null}
    </nav>
  )
}
