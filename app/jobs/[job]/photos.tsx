import { When } from '@/app/_parts/when.tsx'
import { Field } from '@/app/_server/field.tsx'
import { ActionForm } from '@/app/_server/form.tsx'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { PhotoView } from '@/lib/db/job-photo.ts'
import type { PhotoStage } from '@/lib/job/flow-schema.ts'
import { addPhoto, removePhoto } from './actions.ts'
import styles from './photos.module.css'

interface Place {
  jobId: number
  stage: PhotoStage
  stepKey?: string
  /** Words of the step, for those who listen. */
  of: string
}

/** Photos kept at one place of the job, and the way to add one: the telephone offers its camera or a file. */
export function Photos(props: Place & { photos: PhotoView[]; mayWork: boolean }) {
  const { jobId, stage, stepKey = '', of, mayWork } = props
  const here = props.photos.filter((photo) => photo.stage === stage && photo.stepKey === stepKey)
  if (here.length === 0 && !mayWork) return null
  return (
    <div className={styles.place}>
      {here.length > 0 ? (
        <ul className={`plain-list ${styles.photos}`}>
          {here.map((photo) => (
            <li key={photo.id}>
              <PhotoPicture photo={{ digest: photo.picture.id, ...photo.picture }} alt={photo.alt} />
              <p className="small soft">
                {photo.by}, <When at={photo.at} time />
              </p>
              {mayWork ? (
                <ActionForm
                  action={removePhoto}
                  formKey={freshKey()}
                  className=""
                  submit={
                    <>
                      Take off<span className="visually-hidden"> the photo: {photo.alt}</span>
                    </>
                  }
                  submitClassName="button quiet"
                  hidden={{ jobId, photoId: photo.id }}
                />
              ) : null}
            </li>
          ))}
        </ul>
      ) : null}
      {mayWork ? (
        <details>
          <summary className="button quiet">
            Add a photo<span className="visually-hidden">: {of}</span>
          </summary>
          <ActionForm
            action={addPhoto}
            formKey={freshKey()}
            submit="Keep the photo"
            submitClassName="button"
            hidden={{ jobId, stage, stepKey }}
            aria-label={`Photo: ${of}`}
          >
            <Field
              name="file"
              type="file"
              required
              accept="image/jpeg,image/png,image/webp"
              label="Photo"
              hint="JPEG, PNG or WebP, at most 25 MB. Where it was taken is not kept."
            />
            <Field name="alt" label="What it shows" hint="Left empty, the words of the step." autoComplete="off" />
          </ActionForm>
        </details>
      ) : null}
    </div>
  )
}

/** A photo by its digest, on the job and in the service book alike. */
export function PhotoPicture(props: { photo: { digest: string; width?: number; height?: number }; alt: string }) {
  const { digest, width, height } = props.photo
  const href = paths.picture({ id: digest })
  return (
    <figure className={styles.photo}>
      <a href={href}>
        <img src={href} alt={props.alt} width={width} height={height} loading="lazy" />
      </a>
      <figcaption className="small" aria-hidden="true">
        {props.alt}
      </figcaption>
    </figure>
  )
}
