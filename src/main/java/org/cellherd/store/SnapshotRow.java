package org.cellherd.store;

import java.sql.Connection;
import java.sql.SQLException;
import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.Database;

/** A row of table {@code snapshot}: the state of a fold that had taken all before {@code atMs}. */
record SnapshotRow(String pack, String fold, long atMs, long session, PackedBytes state)
    implements WaitingRow {

  @Override
  public void write(Connection connection) throws SQLException {
    Database.update(
        connection,
        "INSERT OR REPLACE INTO snapshot(pack, fold, at_ms, session, crc, data)"
            + " VALUES (?,?,?,?,?,?)",
        pack,
        fold,
        atMs,
        session,
        ReadingsRow.crc(state.bytes()),
        state.bytes());
  }

  @Override
  public int bytes() {
    return 120 + state.bytes().length;
  }
}
