package org.cellherd.store;

import java.nio.BufferUnderflowException;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * A row of SQLite from its bytes, which may be rubbish. Format: SQLite, "Database File Format",
 * section 2.1. One use.
 */
final class RecordReader {
  private static final int MOST_COLUMNS = 64;

  private final ByteBuffer in;

  private RecordReader(byte[] payload) {
    this.in = ByteBuffer.wrap(payload);
  }

  /** The values of a row: null, Long, Double, String or bytes; empty when it is none. */
  static Optional<@Nullable Object[]> read(byte[] payload) {
    try {
      return new RecordReader(payload).values();
    } catch (BufferUnderflowException | IllegalArgumentException rubbish) {
      return Optional.empty();
    }
  }

  private Optional<@Nullable Object[]> values() {
    long headBytes = varint(in);
    if (headBytes > in.capacity()) {
      return Optional.empty();
    }
    List<Long> types = new ArrayList<>();
    while (in.position() < headBytes) {
      types.add(varint(in));
      if (types.size() > MOST_COLUMNS) {
        return Optional.empty();
      }
    }
    @Nullable Object[] values = new @Nullable Object[types.size()];
    for (int i = 0; i < values.length; i++) {
      values[i] = value(types.get(i));
    }
    return in.hasRemaining() ? Optional.empty() : Optional.of(values);
  }

  /** A number of up to nine bytes, as SQLite writes lengths and row numbers. */
  static long varint(ByteBuffer in) {
    long value = 0;
    for (int i = 0; i < 8; i++) {
      byte next = in.get();
      value = (value << 7) | (next & 0x7f);
      if (next >= 0) {
        return value;
      }
    }
    return (value << 8) | (in.get() & 0xff);
  }

  private @Nullable Object value(long type) {
    if (type >= 12) {
      byte[] bytes = bytes((type - 12) / 2);
      return type % 2 == 0 ? bytes : new String(bytes, StandardCharsets.UTF_8);
    }
    return switch ((int) type) {
      case 0 -> null;
      case 1, 2, 3, 4 -> number((int) type);
      case 5 -> number(6);
      case 6 -> number(8);
      case 7 -> in.getDouble();
      case 8 -> 0L;
      case 9 -> 1L;
      default -> throw new IllegalArgumentException("type " + type);
    };
  }

  private byte[] bytes(long count) {
    if (count > in.remaining()) {
      throw new IllegalArgumentException(count + " bytes");
    }
    byte[] bytes = new byte[(int) count];
    in.get(bytes);
    return bytes;
  }

  private long number(int bytes) {
    long value = in.get();
    for (int i = 1; i < bytes; i++) {
      value = (value << 8) | (in.get() & 0xff);
    }
    return value;
  }
}
