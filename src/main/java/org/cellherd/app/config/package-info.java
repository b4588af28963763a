/** The configuration file mapped onto the settings of each package. */
@NullMarked
package org.cellherd.app.config;

import org.jspecify.annotations.NullMarked;
