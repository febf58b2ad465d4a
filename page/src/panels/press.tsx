// A button that cannot be pressed just now. It keeps the focus, which the browser takes from one that is disabled.
import type { JSX } from 'preact';

type PressProps = Omit<JSX.IntrinsicElements['button'], 'disabled' | 'onClick'> & {
  not: boolean;
  /** Left out where the button sends its form, which then looks itself whether it may. */
  onPress?: () => void;
};

export function Press({ not, onPress, type = 'button', ...rest }: PressProps) {
  return <button {...rest} type={type} aria-disabled={not} onClick={() => !not && onPress?.()} />;
}
