/**
 * What brokers keep retained for this site, remembered beyond the run: only what we put there
 * ourselves is ever emptied. Entry: {@link org.cellherd.mqtt.kept.Keeping}.
 */
@NullMarked
package org.cellherd.mqtt.kept;

import org.jspecify.annotations.NullMarked;
