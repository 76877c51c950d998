import Link from 'next/link'
import { notFound } from 'next/navigation'
import { Watch } from '@/app/_parts/watch.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { RUN_WORKING, type Run, type RunRefusal, runRead } from '@/lib/db/exchange-run.ts'
import { KINDS } from '@/lib/exchange/columns.ts'
import { isRefusal } from '@/lib/refusal.ts'
import { importFile, lookAtFile } from '../../actions.ts'
import { Done } from './done.tsx'
import { Match } from './match.tsx'
import { Rehearsed } from './rehearsed.tsx'

export const metadata = { title: 'File on its way in' }

async function runOrNone(id: string): Promise<Run> {
  try {
    return await runRead(id)
  } catch (error) {
    if (isRefusal(error)) notFound()
    throw error
  }
}

export default async function RunPage({ params }: { params: Promise<{ run: string }> }) {
  await signedInWith('catalogue.import')
  const run = await runOrNone((await params).run)
  const { state } = run
  return (
    <main className="page" id="page">
      <header className="page-head">
        <div>
          <p className="over">
            <Link href={paths.exchange()}>Import and export</Link>: {KINDS[run.kind].title.toLowerCase()},{' '}
            {KINDS[run.kind].says}
          </p>
          <h1>{run.file}</h1>
        </div>
      </header>
      <div className="stack loose">
        {state.refusal ? <Refused refusal={state.refusal} /> : null}
        {RUN_WORKING.has(state.step) ? <Watch says={state.says} /> : <Next run={run} />}
      </div>
    </main>
  )
}

/** What the person does now. */
function Next({ run }: { run: Run }) {
  const { id, state } = run
  if (state.step === 'imported' && state.done) return <Done id={id} kind={run.kind} done={state.done} />
  if (!state.look) {
    return (
      <ActionForm action={lookAtFile} formKey={freshKey()} hidden={{ run: id }} submit="Look at the file">
        <p>The file is here, {(run.bytes / 1e6).toFixed(1)} MB. Nothing has been done with it yet.</p>
      </ActionForm>
    )
  }
  const ready = state.step === 'rehearsed' && state.rehearsed
  return (
    <>
      {ready ? <Rehearsed id={id} kind={run.kind} rehearsed={ready} /> : null}
      {ready && ready.refusedRows === 0 ? (
        <ActionForm
          action={importFile}
          formKey={freshKey()}
          hidden={{ run: id }}
          submit="Bring it in"
          submitClassName="button primary big"
          aria-label="Bring it in"
        >
          <p>All of it or nothing. The same file brought in twice changes nothing the second time.</p>
        </ActionForm>
      ) : null}
      {ready && ready.refusedRows > 0 && ready.rightRows ? <TakeRight id={id} rightRows={ready.rightRows} /> : null}
      <Match run={run} look={state.look} open={!ready} />
    </>
  )
}

/** The rows that can be used may come in without the others; nobody has to take them. */
function TakeRight({ id, rightRows }: { id: string; rightRows: number }) {
  return (
    <ActionForm
      action={importFile}
      formKey={freshKey()}
      hidden={{ run: id, rightRows }}
      className="stack tight"
      aria-label="Take the right rows"
    >
      <p>
        The right rows may come in by themselves: the prices of a part on a list together or not at all. Download the
        refused rows, mend them there, and bring that file in next. What came in already is then as it was.
      </p>
      <div className="row">
        <SubmitButton>
          {rightRows === 1 ? 'Take the 1 right row' : `Take the ${rightRows.toLocaleString('en-GB')} right rows`}
        </SubmitButton>
        <Link className="button" href={paths.exchange()} prefetch={false}>
          Take nothing
        </Link>
      </div>
    </ActionForm>
  )
}

function Refused({ refusal }: { refusal: RunRefusal }) {
  return (
    <div className="alert" role="alert">
      <p className="strong">{refusal.happened}</p>
      <p>{refusal.next}</p>
      {refusal.faults.length > 0 ? (
        <ul>
          {refusal.faults.map((fault) => (
            <li key={fault}>{fault}</li>
          ))}
        </ul>
      ) : null}
    </div>
  )
}
