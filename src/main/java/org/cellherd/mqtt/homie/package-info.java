/**
 * The site as devices of the Homie convention, version 5 (homieiot/convention, branch develop, 17
 * October 2024): {@link org.cellherd.mqtt.homie.HomiePublisher}. A connection of its own, since one
 * connection has one will.
 */
@NullMarked
package org.cellherd.mqtt.homie;

import org.jspecify.annotations.NullMarked;
