import Link from 'next/link'
import { found, idOf } from '@/app/_parts/found.ts'
import { Field, SelectField } from '@/app/_server/field.tsx'
import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { signedInWith } from '@/app/_server/signed-in.ts'
import { paths } from '@/app/paths.ts'
import { alternativesOf } from '@/lib/db/alternative.ts'
import { partToEdit } from '@/lib/db/part-edit.ts'
import { supersessionChain } from '@/lib/db/supersession.ts'
import { approveAlternative, changeLink, removeLink, replaceBy, withdrawAlternative } from '../actions.ts'
import { Alternative, ChainShown } from '../instead.tsx'

export const metadata = { title: 'What replaces it' }

export default async function InsteadPage({ params }: { params: Promise<{ part: string }> }) {
  await signedInWith('catalogue.edit')
  const part = await found(partToEdit(idOf((await params).part)))
  const [chain, alternatives] = await Promise.all([supersessionChain(part.id), alternativesOf([part.id], true)])
  const approved = alternatives.get(part.id) ?? []
  return (
    <main className="page narrow stack loose" id="page">
      <div>
        <p className="over">
          <Link href={paths.part(part.id)}>
            {part.maker} {part.number}
          </Link>{' '}
          {part.description}
        </p>
        <h1>What replaces it</h1>
      </div>
      <section className="stack tight" aria-labelledby="chain">
        <h2 id="chain">Superseded by</h2>
        {chain.steps.length > 1 ? <ChainShown chain={chain} /> : <p className="soft">Nothing replaces it yet.</p>}
        {chain.own.map((link) => (
          <details key={link.id}>
            <summary className="button quiet">Change: replaced by {link.number}</summary>
            <ActionForm action={changeLink} formKey={freshKey()} hidden={{ linkId: link.id }}>
              <LinkFields ratio={link.ratio} interchange={link.interchange} note={link.note ?? undefined} />
              <SubmitButton className="button">Keep the change</SubmitButton>
            </ActionForm>
            <ActionForm
              action={removeLink}
              formKey={freshKey()}
              className=""
              submit={`${link.number} does not replace it: take it out`}
              submitClassName="button quiet"
              hidden={{ linkId: link.id }}
            />
          </details>
        ))}
        <details>
          <summary className="button">Enter what replaces it</summary>
          <ActionForm action={replaceBy} formKey={freshKey()} hidden={{ partId: part.id }}>
            <OtherPart label="Number of the new part" />
            <LinkFields ratio={1} interchange="one-way" />
            <SubmitButton>Keep it</SubmitButton>
          </ActionForm>
        </details>
      </section>
      <section className="stack tight" aria-labelledby="alternatives">
        <h2 id="alternatives">Alternatives</h2>
        <p className="soft">
          Another part that does the same work, one for one, though no maker replaced the one by the other.
        </p>
        {approved.length > 0 ? (
          <ul className="plain-list stack tight">
            {approved.map((other) => (
              <li key={`${other.id} ${other.partId}`} className="stack tight">
                <Alternative other={other} unit={part.unit} />
                {other.withdrawn ? null : (
                  <ActionForm
                    action={withdrawAlternative}
                    formKey={freshKey()}
                    className=""
                    submit={
                      <>
                        Withdraw<span className="visually-hidden"> {other.number}</span>
                      </>
                    }
                    submitClassName="button quiet"
                    hidden={{ alternativeId: other.id }}
                  />
                )}
              </li>
            ))}
          </ul>
        ) : null}
        <details>
          <summary className="button">Approve an alternative</summary>
          <p className="caution">
            You approve it under your name. For brakes, steering, lifting and guards the maker’s manual and a qualified
            person decide.
          </p>
          <ActionForm action={approveAlternative} formKey={freshKey()} hidden={{ partId: part.id }}>
            <OtherPart label="Number of the alternative" />
            <SelectField name="interchange" label="Which way" defaultValue="one-way">
              <option value="one-way">it may stand in for this one, not back</option>
              <option value="both-ways">either may stand in for the other</option>
            </SelectField>
            <Field name="reason" label="Why, and by whose word or list" autoComplete="off" required />
            <SubmitButton>Approve it</SubmitButton>
          </ActionForm>
        </details>
      </section>
    </main>
  )
}

function OtherPart({ label }: { label: string }) {
  return (
    <>
      <Field name="number" label={label} autoComplete="off" required />
      <Field name="maker" label="Maker" hint="Only where several makers use that number." autoComplete="off" />
    </>
  )
}

function LinkFields({ ratio, interchange, note }: { ratio: number; interchange: string; note?: string }) {
  return (
    <>
      <Field
        name="ratio"
        label="How many new for one old"
        inputMode="numeric"
        className="input-number"
        defaultValue={ratio}
        required
      />
      <SelectField name="interchange" label="Which way" defaultValue={interchange}>
        <option value="one-way">the new one fits for the old, not back</option>
        <option value="both-ways">either fits for either</option>
      </SelectField>
      <Field name="note" label="Note" hint="What changed, and what to mind." defaultValue={note} autoComplete="off" />
    </>
  )
}
