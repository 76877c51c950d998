import type { askBolt } from '@/lib/fastener/ask.ts'
import type { BoltSheet, TorqueRange } from '@/lib/fastener/bolt-sheet.ts'
import { TIGHTENING_SOURCE } from '@/lib/fastener/tightening.ts'
import { NM_PER_LBF_FT, TORQUE_SOURCE } from '@/lib/fastener/torque.ts'
import { short } from './part.tsx'

const kilo = (newton: number) => `${short(newton / 1000)} kN`
const feet = (torqueNm: number) => `${short(torqueNm / NM_PER_LBF_FT)} lbf ft`
const range = ({ torqueNmMin, torqueNmMax }: TorqueRange) => `${short(torqueNmMin)} to ${short(torqueNmMax)}`

export function BoltAnswer(props: {
  asked: { statedState: string; newState: string }
  answer: ReturnType<typeof askBolt>
}) {
  const { sheet, treated, statedNm } = props.answer
  return (
    <div className="stack" role="status">
      {treated && statedNm !== null ? (
        <div className="stack tight">
          <p className="strong">
            {short(statedNm)} N m {props.asked.statedState} is about {short(treated.torqueNm)} N m (
            {feet(treated.torqueNm)}) with threads {props.asked.newState}
          </p>
          <p>
            {treated.torqueNmMin === treated.torqueNmMax
              ? 'The state is the same, so the torque stays.'
              : `Published friction scatters: ${range(treated)} N m. Grease on a thread that is tightened to its dry torque stretches the bolt; ask the maker for the figure with the thread treated.`}
          </p>
          <p className="small soft">{TORQUE_SOURCE}</p>
        </div>
      ) : null}
      {sheet ? <Sheet sheet={sheet} /> : null}
    </div>
  )
}

function Sheet({ sheet }: { sheet: BoltSheet }) {
  const { thread, atYield } = sheet
  const name = `M${thread.diameterMm}${thread.coarse ? '' : ` x ${thread.pitchMm}`}, class ${sheet.propertyClass}`
  return (
    <div className="stack tight">
      <h3>{name}</h3>
      <dl className="facts">
        <dt>Stress area</dt>
        <dd>{short(sheet.stressAreaMm2)} mm²</dd>
        <dt>Proof load</dt>
        <dd>{kilo(sheet.proofLoadN)}</dd>
        <dt>Breaks from</dt>
        <dd>{kilo(sheet.tensileLoadN)}</dd>
        <dt>Preload here</dt>
        <dd>{kilo(sheet.preloadN)}, three quarters of the proof load</dd>
      </dl>
      <div className="scroll-x">
        <table className="parts">
          <caption>Torque for that preload</caption>
          <thead>
            <tr>
              <th scope="col">Threads</th>
              <th scope="col" className="right">
                N m
              </th>
              <th scope="col" className="right">
                range
              </th>
              <th scope="col" className="right">
                lbf ft
              </th>
            </tr>
          </thead>
          <tbody>
            {sheet.states.map((row) => (
              <tr key={row.state}>
                <td>{row.state}</td>
                <td className="right strong">{short(row.torqueNm)}</td>
                <td className="right">{range(row)}</td>
                <td className="right">{short(row.torqueNm / NM_PER_LBF_FT)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <p className="small soft">{TORQUE_SOURCE}; areas and loads ISO 898-1, worked out from the thread</p>
      {atYield ? (
        <>
          <p>
            To 90 % of yield, friction 0.12: <strong>{short(atYield.torqueNm)} N m</strong> ({range(atYield)} N m at
            friction 0.08 to 0.16) for {kilo(atYield.preloadN)}. For joints whose maker asks for the full use of the
            bolt; not where it goes into soft metal.
          </p>
          <p className="small soft">{TIGHTENING_SOURCE}</p>
        </>
      ) : null}
    </div>
  )
}
