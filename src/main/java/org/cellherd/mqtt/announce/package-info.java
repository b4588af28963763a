/**
 * Messages that tell a dashboard where to find what, made from the user's own templates: {@link
 * org.cellherd.mqtt.announce.Announce}. Knows no dashboard.
 */
@NullMarked
package org.cellherd.mqtt.announce;

import org.jspecify.annotations.NullMarked;
