/**
 * Strict reading of the users' files: every problem at once, each as {@code file:line key: what is
 * wrong, what is allowed, did you mean}.
 */
@NullMarked
package org.cellherd.toml;

import org.jspecify.annotations.NullMarked;
