// Take it to the bench: on this screen, or on a phone that is let in with a code.
import { useEffect, useRef, useState } from 'preact/hooks';
import '../look/sharing.css';
import type { SharingOut } from '../api';
import { asking, look, newWord, says, sendAway, sharing, start, stop } from '../state/sharing';

const LOOK_EVERY = 2000; // ms

/** The key in the strip along the top, and what it opens. */
export function TakeToBench({ job }: { job: string }) {
  const [open, setOpen] = useState(false);
  const on = sharing.value?.on === true;
  useEffect(() => void look(), []);
  return (
    <>
      <button type="button" class="plain" onClick={() => setOpen(true)} aria-haspopup="dialog">
        To the bench{on ? ' · shared' : ''}
      </button>
      {open && <Dialog job={job} close={() => setOpen(false)} />}
    </>
  );
}

function Dialog({ job, close }: { job: string; close: () => void }) {
  const place = useRef<HTMLDialogElement>(null);
  const to = `/bench/${encodeURIComponent(job)}`;
  const now = sharing.value;
  useEffect(() => {
    place.current?.showModal();
    void look();
    const timer = setInterval(() => void look(), LOOK_EVERY);
    return () => clearInterval(timer);
  }, []);
  return (
    <dialog class="sharing" ref={place} onClose={close} aria-labelledby="sharing-title">
      <div class="sharing-head">
        <h2 id="sharing-title">Take it to the bench</h2>
        <button type="button" class="plain" onClick={() => place.current?.close()}>
          Close
        </button>
      </div>
      <p>
        One step to a screen, in letters to be read from two metres. <a href={to}>Show it on this screen</a>, or on a
        phone or tablet:
      </p>
      {says.value && (
        <p class="trouble" role="alert">
          {says.value}
        </p>
      )}
      {now && (now.on ? <On now={now} to={to} /> : <Off now={now} to={to} />)}
    </dialog>
  );
}

function Off({ now, to }: { now: SharingOut; to: string }) {
  const [chosen, setChosen] = useState('');
  const address = now.addresses.some((one) => one.address === chosen) ? chosen : (now.addresses[0]?.address ?? '');
  if (!address)
    return <p>This computer is in no network that a phone could reach it by. Connect it to your network.</p>;
  return (
    <>
      <ul class="sharing-says">
        <li>Phone and computer must be in the same network.</li>
        <li>
          The connection is not encrypted: others in that network could read along. Share only in a network that you
          trust.
        </li>
        <li>
          A paired phone sees the bench and its log, and nothing else. Only this computer can be asked until you turn
          sharing on.
        </li>
      </ul>
      {now.addresses.length > 1 && (
        <label>
          Address of this computer
          <select value={address} onChange={(event) => setChosen(event.currentTarget.value)}>
            {now.addresses.map((one) => (
              <option key={one.address} value={one.address}>
                {one.address} ({one.says})
              </option>
            ))}
          </select>
        </label>
      )}
      <p>
        <button type="button" disabled={asking.value} onClick={() => void start(address, to)}>
          Turn sharing on
        </button>
      </p>
    </>
  );
}

function On({ now, to }: { now: SharingOut; to: string }) {
  return (
    <>
      {now.pairing ? (
        <div class="sharing-code">
          <svg
            viewBox={`0 0 ${now.pairing.size} ${now.pairing.size}`}
            role="img"
            aria-label="Code to scan with the phone's camera"
            shape-rendering="crispEdges"
          >
            <rect width="100%" height="100%" fill="#fff" />
            <path d={now.pairing.path} fill="#000" />
          </svg>
          <div>
            <p>
              <b>Scan this with the phone’s camera.</b>
            </p>
            <p>It lets one device in, once, within {minutes(now.pairing.seconds_left)}.</p>
            <p>
              Or open this address there:
              <br />
              <code>{now.pairing.address}</code>
            </p>
          </div>
        </div>
      ) : (
        <p>
          {now.wrong_words > 0 && (
            <b>{now.wrong_words === 1 ? 'A wrong code was tried. ' : `${now.wrong_words} wrong codes were tried. `}</b>
          )}
          <button type="button" disabled={asking.value} onClick={() => void newWord(to)}>
            Let another device in
          </button>
        </p>
      )}
      <h3>Paired devices</h3>
      {now.devices.length === 0 && <p class="dim">None yet.</p>}
      <ul class="sharing-devices">
        {now.devices.map((device) => (
          <li key={device.number}>
            <span>
              {device.says}, {device.address}, since {clock(device.since)}
            </span>
            <button
              type="button"
              class="plain"
              aria-label={`Send away ${device.says}, ${device.address}`}
              onClick={() => void sendAway(device.number)}
            >
              Send away
            </button>
          </li>
        ))}
      </ul>
      <p class="sharing-end">
        <span class="dim">
          Shared at {now.address}:{now.port}, not encrypted.
        </span>
        <button type="button" disabled={asking.value} onClick={() => void stop()}>
          Stop sharing
        </button>
      </p>
    </>
  );
}

function minutes(seconds: number): string {
  const left = Math.max(1, Math.ceil(seconds / 60));
  return left === 1 ? 'a minute' : `${left} minutes`;
}

function clock(since: number): string {
  return new Date(1000 * since).toLocaleTimeString([], { hour: '2-digit', minute: '2-digit' });
}
