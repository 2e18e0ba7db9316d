-- The robot works out how far its right wheels must roll for a quarter turn, and stops by that.
return routine {
  start = {x = 1200, y = 1200, heading = 0},
  auto = function(bot)
    local track = 260  -- mm between left and right wheels
    local way = 90 / 360 * 3.14 * track
    bot.drive:volts(-6, 6)
    while bot.sense.right_encoder:mm() < way do wait() end
    bot.drive:volts(0, 0)
  end,
}
