import { render } from 'preact';
import { followAddress } from './state/address';
import { followTheme } from './state/theme';
import { Page } from './views/page';

followTheme();
followAddress();
const root = document.getElementById('page');
if (root) render(<Page />, root);
