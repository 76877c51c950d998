import type { PhotoInput, PhotoStage } from '../job/flow-schema.ts'
import { photoCheck } from '../picture/photo.ts'
import type { PictureSent } from '../picture/picture.ts'
import { Refusal } from '../refusal.ts'
import { database, type Tx } from './client.ts'
import { jobOpenRead } from './job.ts'
import { personNames } from './part-typed.ts'
import { pictureForsake, pictureStore } from './picture.ts'
import { type WriteContext, write } from './transaction.ts'

export interface PhotoView {
  id: number
  stage: PhotoStage
  stepKey: string
  /** Words of the step it belongs to; null for the complaint and where the step is gone. */
  step: string | null
  alt: string
  picture: { id: string; width: number; height: number }
  by: string
  at: Date
}

const PHOTOS_MAX = 200

/**
 * Keeps a photo with the job. The same photo at the same step is one photo, however often it is sent: a telephone at the edge
 * of the yard sends twice. Refusals: those of `photoCheck`, then of the job, then 'job/unknown-need' for a step it has not,
 * and 'photo/too-many'.
 */
export async function jobPhotoAdd(
  context: WriteContext,
  input: PhotoInput & { sent: PictureSent },
): Promise<{ photoId: number }> {
  const { sent, ...place } = input
  const picture = await photoCheck(sent)
  try {
    return await write(context, 'job.photo', { ...place, picture: picture.id }, async (tx) => {
      const job = await jobOpenRead(tx, place.jobId)
      const alt = place.alt || (await altOf(tx, job, place))
      const where = { jobId: job.id, stage: place.stage, stepKey: place.stepKey }
      const before = await tx.jobPhoto.findFirst({ where: { ...where, pictureId: picture.id } })
      if (before) {
        await tx.jobPhoto.update({ where: { id: before.id }, data: { removedAt: null, removedById: null } })
        return { photoId: before.id }
      }
      if ((await tx.jobPhoto.count({ where: { jobId: job.id } })) >= PHOTOS_MAX)
        throw new Refusal('photo/too-many', { limit: PHOTOS_MAX })
      const pictureId = await pictureStore(tx, context.now, picture)
      const row = await tx.jobPhoto.create({
        data: { ...where, pictureId, alt, personId: context.personId, at: context.now },
      })
      return { photoId: row.id }
    })
  } catch (error) {
    await pictureForsake(picture).catch(() => undefined)
    throw error
  }
}

/** The step's own words stand in for a description that nobody typed with cold fingers. */
async function altOf(tx: Tx, job: { id: number; complaint: string }, place: Omit<PhotoInput, 'alt'>): Promise<string> {
  if (place.stage === 'complaint') return `Complaint: ${job.complaint}`.slice(0, 200)
  if (place.stepKey === '') return { strip: 'Strip-down', rebuild: 'Rebuild', test: 'Test before release' }[place.stage]
  const step = await tx.jobCheck.findUnique({
    where: { jobId_kind_key: { jobId: job.id, kind: place.stage, key: place.stepKey } },
  })
  if (!step) throw new Refusal('job/unknown-need')
  return step.text.slice(0, 200)
}

/** Takes a photo off an open job; it stays in the history with who and when. A closed job keeps its photos. */
export function jobPhotoRemove(context: WriteContext, input: { jobId: number; photoId: number }): Promise<null> {
  return write(context, 'job.photo-remove', input, async (tx) => {
    await jobOpenRead(tx, input.jobId)
    const { count } = await tx.jobPhoto.updateMany({
      where: { id: input.photoId, jobId: input.jobId, removedAt: null },
      data: { removedAt: context.now, removedById: context.personId },
    })
    if (count === 0) throw new Refusal('job/unknown-need')
    return null
  })
}

/** The photos of a job in the order in which they were taken. */
export async function jobPhotos(db: Tx, jobId: number): Promise<PhotoView[]> {
  const rows = await db.jobPhoto.findMany({
    where: { jobId, removedAt: null },
    include: { picture: { select: { id: true, width: true, height: true } } },
    orderBy: { id: 'asc' },
  })
  const steps = await db.jobCheck.findMany({ where: { jobId }, select: { kind: true, key: true, text: true } })
  const names = await personNames(
    db,
    rows.map((row) => row.personId),
  )
  return rows.map((row) => ({
    id: row.id,
    stage: row.stage as PhotoStage,
    stepKey: row.stepKey,
    step: steps.find((step) => step.kind === row.stage && step.key === row.stepKey)?.text ?? null,
    alt: row.alt,
    picture: row.picture,
    by: names(row.personId),
    at: row.at,
  }))
}

export function jobPhotosRead(jobId: number): Promise<PhotoView[]> {
  return jobPhotos(database() as unknown as Tx, jobId)
}
