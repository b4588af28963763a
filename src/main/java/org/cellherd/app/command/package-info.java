/**
 * The owner's programs, such as a buzzer: whether they may be run, and by whom; running one. What
 * runs them when is told by {@code app.daemon}. Entry: {@link
 * org.cellherd.app.command.CommandCheck}, {@link org.cellherd.app.command.CommandRun}.
 */
@NullMarked
package org.cellherd.app.command;

import org.jspecify.annotations.NullMarked;
