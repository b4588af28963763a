/** What faults can lay hands on: boards, lines, cables, the network, the card, the clock. */
@NullMarked
package org.cellherd.app.campaign.stage;

import org.jspecify.annotations.NullMarked;
