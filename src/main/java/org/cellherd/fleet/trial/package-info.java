/**
 * For trying things out: a database inside this process's care. Nothing of it runs in a gatherer.
 */
@NullMarked
package org.cellherd.fleet.trial;

import org.jspecify.annotations.NullMarked;
