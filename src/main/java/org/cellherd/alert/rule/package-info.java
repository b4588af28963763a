/**
 * Every alert rule: a small class that judges one moment, the {@link
 * org.cellherd.alert.input.RuleInput}, and says what it saw. Entry: {@link
 * org.cellherd.alert.rule.Rules}.
 */
@NullMarked
package org.cellherd.alert.rule;

import org.jspecify.annotations.NullMarked;
