package org.cellherd.store;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.OptionalInt;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.cellherd.store.sql.Database;

/**
 * The few pages that say where each table begins, as a new log has them. All tables are made at
 * once, so that every log of a page size begins alike: where one of these pages is lost, and the
 * whole log with it, that of a new log takes its place. Format: SQLite, "Database File Format",
 * sections 1.3 and 1.6. Immutable.
 */
final class SchemaPages {
  private static final byte[] MAGIC = {
    'S', 'Q', 'L', 'i', 't', 'e', ' ', 'f', 'o', 'r', 'm', 'a', 't', ' ', '3', 0
  };

  private static final int PAGE_SIZE_AT = 16;
  private static final int SIZE_IN_PAGES_AT = 28;
  private static final int TREE_AT = 100;
  private static final int INNER_CELLS_AT = TREE_AT + 12;
  private static final int INNER = 5;

  private final Map<Integer, byte[]> pages;
  private final Set<String> tables;

  private SchemaPages(Map<Integer, byte[]> pages, Set<String> tables) {
    this.pages = pages;
    this.tables = tables;
  }

  /**
   * Where the schema of a log lies, and what it names.
   *
   * @param pages numbers of its pages
   * @param tables names of the tables
   */
  record Place(Set<Integer> pages, Set<String> tables) {

    /** That of an open file. */
    static Place of(Connection connection) throws SQLException {
      String sql = "SELECT pageno FROM dbstat WHERE name = 'sqlite_schema'";
      List<Integer> pages = Database.rows(connection, sql, row -> row.getInt(1));
      return new Place(new TreeSet<>(pages), tablesOf(connection));
    }

    private static Set<String> tablesOf(Connection connection) throws SQLException {
      String sql = "SELECT name FROM sqlite_master WHERE type = 'table'";
      return new TreeSet<>(Database.rows(connection, sql, row -> row.getString(1)));
    }
  }

  /** Takes them out of a new log that is closed. */
  static SchemaPages of(Path fresh, Place place) throws IOException {
    Map<Integer, byte[]> pages = new TreeMap<>();
    try (RandomAccessFile file = new RandomAccessFile(fresh.toFile(), "r")) {
      int pageBytes = pageBytes(file);
      for (int number : place.pages()) {
        byte[] page = new byte[pageBytes];
        file.seek((number - 1L) * pageBytes);
        file.readFully(page);
        pages.put(number, page);
      }
    }
    // How long the file is, is not known of another: SQLite looks by itself then.
    byte[] first = pages.get(1);
    if (first != null) {
      Arrays.fill(first, SIZE_IN_PAGES_AT, SIZE_IN_PAGES_AT + 4, (byte) 0);
    }
    return new SchemaPages(pages, place.tables());
  }

  /** Page size that the head of a file tells, bytes; of a damaged one any number. */
  static int pageBytes(RandomAccessFile file) throws IOException {
    file.seek(PAGE_SIZE_AT);
    int told = file.readUnsignedShort();
    return told == 1 ? 65_536 : told;
  }

  /** Page size that a file tells, bytes; empty where it is no database any more. */
  static OptionalInt pageBytesToldBy(Path path) throws IOException {
    try (RandomAccessFile file = new RandomAccessFile(path.toFile(), "r")) {
      byte[] magic = new byte[MAGIC.length];
      if (file.length() < TREE_AT) {
        return OptionalInt.empty();
      }
      file.readFully(magic);
      int told = pageBytes(file);
      return Arrays.equals(magic, MAGIC) && DatabasePages.isPossible(told)
          ? OptionalInt.of(told)
          : OptionalInt.empty();
    }
  }

  /** True when a file has one of these pages, beside the first, where it is here. */
  boolean isSharedBy(Path path) throws IOException {
    try (RandomAccessFile file = new RandomAccessFile(path.toFile(), "r")) {
      for (Map.Entry<Integer, byte[]> page : pages.entrySet()) {
        byte[] theirs = new byte[page.getValue().length];
        long at = (page.getKey() - 1L) * theirs.length;
        if (page.getKey() > 1 && at + theirs.length <= file.length()) {
          file.seek(at);
          file.readFully(theirs);
          if (Arrays.equals(theirs, page.getValue())) {
            return true;
          }
        }
      }
      return false;
    }
  }

  /** True when a file still knows all its tables. */
  boolean isWholeIn(Connection connection) {
    try {
      return Place.tablesOf(connection).containsAll(tables);
    } catch (SQLException damaged) {
      return false;
    }
  }

  /**
   * Puts them in place of a closed file's; false, and nothing is changed, where that file was laid
   * out in another way, as a back-up is.
   */
  boolean putInto(Path damaged) throws IOException {
    byte[] ours = pages.getOrDefault(1, MAGIC);
    try (RandomAccessFile file = new RandomAccessFile(damaged.toFile(), "rw")) {
      if (file.length() < ours.length) {
        return false;
      }
      byte[] first = new byte[ours.length];
      file.readFully(first);
      // The tree tells where its cells begin, so pages of another size differ behind the head, too.
      boolean alike = Arrays.equals(first, TREE_AT, first.length, ours, TREE_AT, ours.length);
      if (!alike && isSound(first, file.length() / first.length)) {
        return false;
      }
      // The first as well where it is alike: its head may be what is damaged.
      for (Map.Entry<Integer, byte[]> page : pages.entrySet()) {
        file.seek((page.getKey() - 1L) * ours.length);
        file.write(page.getValue());
      }
      return true;
    }
  }

  /** False when a first page cannot be that of any log. */
  private static boolean isSound(byte[] first, long pages) {
    if (!Arrays.equals(first, 0, MAGIC.length, MAGIC, 0, MAGIC.length) || first[TREE_AT] != INNER) {
      return false;
    }
    ByteBuffer page = ByteBuffer.wrap(first);
    int cells = Short.toUnsignedInt(page.getShort(TREE_AT + 3));
    boolean sound = isPage(page.getInt(TREE_AT + 8), pages);
    for (int i = 0; i < cells && sound; i++) {
      int pointer = INNER_CELLS_AT + 2 * i;
      int at = pointer + 2 > first.length ? first.length : page.getShort(pointer) & 0xffff;
      sound = at + 4 <= first.length && isPage(page.getInt(at), pages);
    }
    return sound;
  }

  private static boolean isPage(int number, long pages) {
    return number > 1 && number <= pages;
  }
}
