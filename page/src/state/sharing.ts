// Sharing with a phone: whether the door in the network is open, who came in, and the code for one more.
import { signal } from '@preact/signals';
import { client, got, Refused, type SharingOut } from '../api';

export const sharing = signal<SharingOut | null>(null);
export const says = signal('');
export const asking = signal(false);

export const look = () => ask(() => got(client.GET('/api/sharing')), true);
export const start = (address: string, to: string) =>
  ask(() => got(client.POST('/api/sharing/start', { body: { address, to } })));
export const newWord = (to: string) => ask(() => got(client.POST('/api/sharing/word', { body: { to } })));
export const stop = () => ask(() => got(client.POST('/api/sharing/stop')));
export const sendAway = (number: number) =>
  ask(() => got(client.POST('/api/sharing/devices/{number}/send-away', { params: { path: { number } } })));

async function ask(question: () => Promise<SharingOut>, quietly = false): Promise<void> {
  if (!quietly) asking.value = true;
  try {
    sharing.value = await question();
    says.value = '';
  } catch (error) {
    says.value = error instanceof Refused ? error.message : 'Bentwork does not answer. Is it still running?';
  } finally {
    asking.value = false;
  }
}
