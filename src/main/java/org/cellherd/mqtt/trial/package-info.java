/**
 * For trying things out: a small broker inside this process, and a listener that hears what a
 * dashboard would. Nothing of it runs in a daemon.
 */
@NullMarked
package org.cellherd.mqtt.trial;

import org.jspecify.annotations.NullMarked;
