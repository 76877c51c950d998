import { ActionForm, SubmitButton } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import type { DraftView } from '@/lib/db/order-draft-read.ts'
import { discardDraft, mailDraft, orderDraft, reopenDraft, settleMail } from './actions.ts'

/**
 * What can be done with a draft that is not changed any more. `mailTo` is where an e-mail would go, null where none can be sent;
 * `isUnderWay` while a try to send it may still be running.
 */
export function DraftSteps(props: { draft: DraftView; mailTo: string | null; isUnderWay: boolean }) {
  const { draft, mailTo, isUnderWay } = props
  const hidden = { draftId: draft.id, version: draft.version }
  return (
    <div className="stack">
      {draft.state !== 'sending' ? null : isUnderWay ? (
        <p className="strong">The e-mail is being sent at this moment. Reload the page in a minute or two.</p>
      ) : (
        <Settle draft={draft} />
      )}
      {draft.state === 'approved' ? (
        <div className="row">
          {mailTo === null ? null : (
            <ActionForm
              action={mailDraft}
              formKey={freshKey()}
              hidden={hidden}
              submit={<>Send by e-mail to {mailTo}</>}
              submitClassName="button primary big"
              aria-label="Send by e-mail"
            />
          )}
          <ActionForm
            action={orderDraft}
            formKey={freshKey()}
            hidden={hidden}
            submit="Mark as ordered"
            submitClassName={mailTo === null ? 'button primary big' : 'button'}
            aria-label="Mark as ordered"
          />
          <ActionForm
            action={reopenDraft}
            formKey={freshKey()}
            hidden={hidden}
            submit="Change it again"
            submitClassName="button quiet"
            aria-label="Change it again"
          />
        </div>
      ) : null}
      {draft.state === 'sending' ? null : (
        <details>
          <summary className="button quiet">Discard the draft</summary>
          <ActionForm
            action={discardDraft}
            formKey={freshKey()}
            hidden={hidden}
            submit="Discard it"
            submitClassName="button"
            aria-label="Discard the draft"
          >
            <p>Nothing of it was ordered. What is still needed stays on the order list.</p>
          </ActionForm>
        </details>
      )}
    </div>
  )
}

/** A mail that was broken off: only the supplier knows whether it arrived, and it is never sent again by itself. */
function Settle({ draft }: { draft: DraftView }) {
  return (
    <ActionForm
      action={settleMail}
      formKey={freshKey()}
      hidden={{ draftId: draft.id, version: draft.version }}
      aria-label="What became of the e-mail"
    >
      <p className="strong">
        ▲ It is not known whether the e-mail arrived. Ask {draft.supplier.name} for order {draft.number}, or look among
        the mail that was sent, before anything is sent again.
      </p>
      <div className="row">
        <SubmitButton name="went" value="yes">
          It arrived: it is ordered
        </SubmitButton>
        <SubmitButton className="button" name="went" value="no">
          It did not arrive
        </SubmitButton>
      </div>
    </ActionForm>
  )
}
