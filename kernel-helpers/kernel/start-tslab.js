/** Starts stock tslab as a kernel that may be spoken to from its first moment. */
require('./bind-first');
require('tslab/bin/tslab');
