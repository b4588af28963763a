package org.cellherd.json;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;

/** A value read from JSON. Immutable; lookups of the wrong kind are empty, never an error. */
public sealed interface JsonValue {

  /** Names and values in their order. */
  record JsonObject(Map<String, JsonValue> members) implements JsonValue {
    public JsonObject {
      members = Collections.unmodifiableMap(new LinkedHashMap<>(members));
    }
  }

  record JsonArray(List<JsonValue> items) implements JsonValue {
    public JsonArray {
      items = List.copyOf(items);
    }
  }

  record JsonString(String value) implements JsonValue {}

  /** A number without fraction and exponent that fits 64 bits. */
  record JsonWhole(long value) implements JsonValue {}

  /** Any other number; finite. */
  record JsonReal(double value) implements JsonValue {}

  /** true or false. */
  record JsonTruth(boolean value) implements JsonValue {}

  /** null. */
  record JsonNull() implements JsonValue {}

  /** A member of an object; empty when this is no object or has no such name. */
  default Optional<JsonValue> get(String name) {
    return this instanceof JsonObject object
        ? Optional.ofNullable(object.members().get(name))
        : Optional.empty();
  }

  default Optional<String> text(String name) {
    return get(name)
        .filter(JsonString.class::isInstance)
        .map(JsonString.class::cast)
        .map(JsonString::value);
  }

  default OptionalLong whole(String name) {
    return get(name).orElse(this) instanceof JsonWhole whole
        ? OptionalLong.of(whole.value())
        : OptionalLong.empty();
  }

  default OptionalDouble number(String name) {
    JsonValue value = get(name).orElse(this);
    if (value instanceof JsonReal real) {
      return OptionalDouble.of(real.value());
    }
    return value instanceof JsonWhole whole
        ? OptionalDouble.of((double) whole.value())
        : OptionalDouble.empty();
  }

  /** A yes-or-no member of an object. */
  default Optional<Boolean> truth(String name) {
    return get(name)
        .filter(JsonTruth.class::isInstance)
        .map(JsonTruth.class::cast)
        .map(JsonTruth::value);
  }

  /** Items of a list member of an object; empty when there is none. */
  default List<JsonValue> items(String name) {
    return get(name).orElse(this) instanceof JsonArray array && this instanceof JsonObject
        ? array.items()
        : List.of();
  }
}
