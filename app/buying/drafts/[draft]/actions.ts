'use server'

import { action } from '@/app/_server/action.ts'
import { paths } from '@/app/paths.ts'
import {
  DraftAsked,
  DraftChangeForm,
  DraftLineAddInput,
  DraftMergeInput,
  DraftSettleForm,
} from '@/lib/buying/draft-schema.ts'
import { DraftSplitForm } from '@/lib/buying/split-schema.ts'
import { draftMerge } from '@/lib/db/order-again.ts'
import { draftChange, draftDiscard, draftLineAdd, draftOrder, draftReopen } from '@/lib/db/order-draft.ts'
import { draftMail, draftMailSettle } from '@/lib/db/order-mail.ts'
import { draftSplit } from '@/lib/db/order-split.ts'
import { smtpMailer } from '@/lib/mail/smtp.ts'
import { settingsRead } from '@/lib/settings.ts'

interface Stands {
  draftId: number
  order: { orderId: number } | null
}

/** To the order once there is one, else to the draft as it is now. */
const goOn = ({ draftId, order }: Stands) => ({
  redirect: order ? paths.order(order.orderId) : paths.orderDraft(draftId),
})

export const changeDraft = action({
  right: 'buying.order',
  schema: DraftChangeForm,
  run: async (context, input): Promise<Stands> => {
    if (input.as !== 'mail') return draftChange(context, input)
    // Approved first, under a key of its own: what the mail does with it afterwards is another write.
    const { draftId, version } = await draftChange({ ...context, key: `${context.key}:save` }, input)
    return draftMail(context, { draftId, version }, smtpMailer(settingsRead().smtp))
  },
  kind: 'buying.draft-change',
  then: (stands, { as }) => (as === 'save' ? { says: 'Kept, at today’s prices.' } : goOn(stands)),
})

export const addLine = action({
  right: 'buying.order',
  schema: DraftLineAddInput,
  run: draftLineAdd,
  kind: 'buying.draft-add',
  then: () => ({ says: 'Added.' }),
})

export const orderDraft = action({
  right: 'buying.order',
  schema: DraftAsked,
  run: draftOrder,
  kind: 'buying.draft-order',
  then: ({ orderId }) => ({ redirect: paths.order(orderId) }),
})

export const mailDraft = action({
  right: 'buying.order',
  schema: DraftAsked,
  run: (context, input): Promise<Stands> => draftMail(context, input, smtpMailer(settingsRead().smtp)),
  kind: 'buying.mail',
  then: goOn,
})

export const settleMail = action({
  right: 'buying.order',
  schema: DraftSettleForm,
  run: (context, input): Promise<Stands> => draftMailSettle(context, input),
  kind: 'buying.mail-settle',
  then: goOn,
})

export const reopenDraft = action({
  right: 'buying.order',
  schema: DraftAsked,
  run: draftReopen,
  kind: 'buying.draft-reopen',
})

export const discardDraft = action({
  right: 'buying.order',
  schema: DraftAsked,
  run: draftDiscard,
  kind: 'buying.draft-discard',
  then: () => ({ redirect: paths.orders() }),
})

export const mergeDraft = action({
  right: 'buying.order',
  schema: DraftMergeInput,
  run: draftMerge,
  kind: 'buying.merge',
  then: () => ({ says: 'Its lines stand here now.' }),
})

export const splitDraft = action({
  right: 'buying.order',
  schema: DraftSplitForm,
  run: draftSplit,
  kind: 'buying.split',
  then: ({ draftId }) => ({ redirect: paths.orderDraft(draftId) }),
})
