package org.cellherd.protocol.spec;

import org.jspecify.annotations.Nullable;

/** What messages told that others are read by: raw values by {@code message.field}. */
@FunctionalInterface
public interface RawValues {

  RawValues NOTHING = name -> null;

  /** The raw value told last, if it was. */
  @Nullable Long raw(String name);
}
