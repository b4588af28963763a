/** States and alerts to a broker, from the outbox until acknowledged. */
@NullMarked
package org.cellherd.mqtt;

import org.jspecify.annotations.NullMarked;
